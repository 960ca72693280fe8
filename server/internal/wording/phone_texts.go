package wording

// phoneLanguages are what the languages call themselves, in the order of catalogues.
var phoneLanguages = []string{"English", "Português", "Español", "Français", "Deutsch", "العربية", "中文"}

// phoneTexts are the words of the page of the day that no sheet has, each in the order of catalogues:
// English, Portuguese, Spanish, French, German, Arabic, Chinese. Buttons are short: they share a line.
// Texts about people say nothing of gender; Arabic takes nouns for that.
var phoneTexts = map[string][7]message{
	// The head. A time; minutes.
	"time":   all("Time", "Hora", "Hora", "Heure", "Uhrzeit", "الوقت", "时间"),
	"finish": all("Finish %[1]s", "Fim %[1]s", "Fin %[1]s", "Fin %[1]s", "Ende %[1]s", "الانتهاء %[1]s", "%[1]s 结束"),
	"over": {
		one("%[1]s minute over", "%[1]s minutes over"), one("%[1]s minuto a mais", "%[1]s minutos a mais"),
		one("%[1]s minuto de más", "%[1]s minutos de más"), one("%[1]s minute de trop", "%[1]s minutes de trop"),
		one("%[1]s Minute zu lang", "%[1]s Minuten zu lang"),
		arabicForms("بلا تأخير", "تأخير دقيقة واحدة", "تأخير دقيقتين", "تأخير %[1]s دقائق", "تأخير %[1]s دقيقة", "تأخير %[1]s دقيقة"),
		plain("超时 %[1]s 分钟"),
	},
	"spare": {
		one("%[1]s minute to spare", "%[1]s minutes to spare"), one("%[1]s minuto de folga", "%[1]s minutos de folga"),
		one("%[1]s minuto de margen", "%[1]s minutos de margen"), one("%[1]s minute d’avance", "%[1]s minutes d’avance"),
		one("%[1]s Minute übrig", "%[1]s Minuten übrig"),
		arabicForms("بلا وقت فائض", "فائض دقيقة واحدة", "فائض دقيقتين", "فائض %[1]s دقائق", "فائض %[1]s دقيقة", "فائض %[1]s دقيقة"),
		plain("余 %[1]s 分钟"),
	},
	"lost": all("No contact since %[1]s.", "Sem contacto desde as %[1]s.", "Sin contacto desde las %[1]s.", "Plus de contact depuis %[1]s.",
		"Keine Verbindung seit %[1]s.", "لا اتصال منذ %[1]s.", "自 %[1]s 起没有连接。"),
	"neverSeen": all("No contact.", "Sem contacto.", "Sin contacto.", "Pas de contact.", "Keine Verbindung.", "لا اتصال.", "没有连接。"),
	"kept": all("What you mark is kept on this device until it is sent.", "O que marcar fica guardado neste aparelho até ser enviado.",
		"Lo que marque queda guardado en este aparato hasta enviarse.", "Ce que vous cochez reste sur cet appareil jusqu’à l’envoi.",
		"Was Sie abhaken, bleibt auf diesem Gerät, bis es gesendet ist.", "ما يُسجَّل يبقى محفوظًا على هذا الجهاز حتى يُرسَل.", "您的标记会保存在本设备上，直到发送出去。"),
	"notKept": all("This device cannot keep what you mark: leave this page open until it is sent.", "Este aparelho não consegue guardar o que marcar: deixe a página aberta até ser enviado.",
		"Este aparato no puede guardar lo que marque: deje la página abierta hasta que se envíe.", "Cet appareil ne peut pas garder ce que vous cochez : laissez la page ouverte jusqu’à l’envoi.",
		"Dieses Gerät kann nichts aufheben: Lassen Sie die Seite offen, bis alles gesendet ist.", "لا يمكن لهذا الجهاز حفظ ما يُسجَّل: يُرجى إبقاء الصفحة مفتوحة حتى يُرسَل.", "本设备无法保存标记：发送完成前请勿关闭本页。"),
	"unsent": {
		plain("%[1]s not sent yet"), plain("%[1]s por enviar"), plain("%[1]s sin enviar"), plain("%[1]s pas encore envoyé"), plain("%[1]s noch nicht gesendet"),
		plain("لم يُرسَل بعد: %[1]s"), plain("%[1]s 条尚未发送"),
	},
	"refused": {
		plain("%[1]s not accepted: see More"), plain("%[1]s não aceite: ver Mais"), plain("%[1]s no aceptado: vea Más"), plain("%[1]s refusé : voir Plus"),
		plain("%[1]s nicht angenommen: siehe Mehr"), plain("لم يُقبَل: %[1]s، انظر المزيد"), plain("%[1]s 条未被接受：见“更多”"),
	},

	// The views.
	"views":        all("Views", "Vistas", "Vistas", "Vues", "Ansichten", "العروض", "视图"),
	"tab.now":      all("Now", "Agora", "Ahora", "En cours", "Jetzt", "الآن", "现在"),
	"tab.list":     all("List", "Lista", "Lista", "Liste", "Liste", "القائمة", "清单"),
	"tab.overview": all("Overview", "Resumo", "Resumen", "Bilan", "Übersicht", "نظرة عامة", "概览"),
	"tab.people":   all("People", "Pessoas", "Personas", "Invités", "Leute", "الأشخاص", "人员"),
	"tab.more":     all("More", "Mais", "Más", "Plus", "Mehr", "المزيد", "更多"),
	"blocks":       all("Blocks", "Blocos", "Bloques", "Créneaux", "Blöcke", "الفترات", "时段"),

	// Before anything can be seen.
	"opening": all("Opening …", "A abrir …", "Abriendo …", "Ouverture …", "Wird geöffnet …", "جارٍ الفتح …", "正在打开……"),
	"notBegun": all("It has not begun yet. The page shows the names as soon as it does.", "Ainda não começou. Os nomes aparecem logo que comece.",
		"Aún no ha empezado. Los nombres aparecerán en cuanto empiece.", "Ce n’est pas encore commencé. Les noms s’affichent dès le début.",
		"Es hat noch nicht angefangen. Die Namen erscheinen, sobald es losgeht.", "لم يبدأ بعد. تظهر الأسماء عند البدء.", "尚未开始。开始后会立即显示姓名。"),
	"keptForLink": all("They are kept on this device and are sent when you open a new link to the same event.", "Ficam neste aparelho e são enviados quando abrir um novo link do mesmo evento.",
		"Quedan en este aparato y se enviarán al abrir un enlace nuevo del mismo evento.", "Ils restent sur cet appareil et partiront avec un nouveau lien vers le même événement.",
		"Es bleibt auf diesem Gerät und wird gesendet, sobald Sie einen neuen Link zu derselben Veranstaltung öffnen.", "تبقى على هذا الجهاز وتُرسَل عند فتح رابط جديد للمناسبة نفسها.", "它们保存在本设备上，打开同一活动的新链接后会发送。"),
	"trouble.secret": all("This link does not open anything any more. Ask for a new one.", "Este link já não abre nada. Peça um novo.", "Este enlace ya no abre nada. Pida uno nuevo.",
		"Ce lien n’ouvre plus rien. Demandez-en un nouveau.", "Dieser Link öffnet nichts mehr. Bitten Sie um einen neuen.", "هذا الرابط لم يعد يفتح شيئًا. يُرجى طلب رابط جديد.", "此链接已失效。请索取新的链接。"),
	"trouble.studio": all("This is the studio key, which belongs on the studio’s own machine. Make a link for this phone with kinorder share.", "Esta é a chave do estúdio, que fica no computador do estúdio. Crie um link para este telefone com kinorder share.",
		"Esta es la clave del estudio, que debe quedarse en su ordenador. Cree un enlace para este teléfono con kinorder share.", "C’est la clé du studio, qui reste sur sa machine. Créez un lien pour ce téléphone avec kinorder share.",
		"Das ist der Schlüssel des Studios, der auf dessen Rechner gehört. Machen Sie mit kinorder share einen Link für dieses Telefon.", "هذا مفتاح الاستوديو ومكانه جهاز الاستوديو. يُنشأ رابط لهذا الهاتف بالأمر kinorder share.", "这是工作室密钥，应只留在工作室的电脑上。请用 kinorder share 为此手机生成链接。"),
	"trouble.slow": all("Too many wrong links came from this network. It is tried again by itself.", "Chegaram demasiados links errados desta rede. Volta a tentar sozinho.", "Llegaron demasiados enlaces erróneos de esta red. Se reintenta solo.",
		"Trop de liens erronés sont venus de ce réseau. Nouvel essai automatique.", "Aus diesem Netz kamen zu viele falsche Links. Es wird von selbst wieder versucht.", "وردت روابط خاطئة كثيرة من هذه الشبكة. تُعاد المحاولة تلقائيًا.", "此网络发来过多错误链接，稍后会自动重试。"),
	"trouble.nosheet": all("There is no plan for this event yet. Push the list again.", "Ainda não há plano para este evento. Volte a enviar a lista.", "Aún no hay plan para este evento. Envíe la lista otra vez.",
		"Il n’y a pas encore de plan. Envoyez la liste à nouveau.", "Für diese Veranstaltung gibt es noch keinen Plan. Senden Sie die Liste noch einmal.", "لا توجد خطة لهذه المناسبة بعد. يُرجى إرسال القائمة من جديد.", "此活动还没有计划。请重新提交清单。"),
	"trouble.full": all("The server has no room left. Nothing is lost: it stays here until there is.", "O servidor não tem espaço. Nada se perde: fica aqui até haver.", "El servidor no tiene espacio. Nada se pierde: queda aquí hasta que lo haya.",
		"Le serveur est plein. Rien n’est perdu : tout reste ici en attendant.", "Der Server hat keinen Platz mehr. Nichts geht verloren: Es bleibt so lange hier.", "لا مساحة على الخادم. لا يضيع شيء: يبقى كل شيء هنا إلى حين توفرها.", "服务器空间不足。内容不会丢失，会一直保存在这里。"),
	"trouble.store": all("The server cannot reach its database. Nothing is lost: it is tried again.", "O servidor não chega à base de dados. Nada se perde: volta a tentar.", "El servidor no alcanza su base de datos. Nada se pierde: se reintenta.",
		"Le serveur n’atteint pas sa base. Rien n’est perdu : nouvel essai.", "Der Server erreicht seine Datenbank nicht. Nichts geht verloren: Es wird wieder versucht.", "لا يصل الخادم إلى قاعدة بياناته. لا يضيع شيء: تُعاد المحاولة.", "服务器无法访问数据库。内容不会丢失，会重试。"),
	"trouble.busy": all("The server has too much to do. It is tried again.", "O servidor está ocupado. Volta a tentar.", "El servidor está ocupado. Se reintenta.", "Le serveur est débordé. Nouvel essai.",
		"Der Server hat zu viel zu tun. Es wird wieder versucht.", "الخادم مشغول. تُعاد المحاولة.", "服务器繁忙，会重试。"),
	"trouble.nolink": all("Open the link that you were given: it ends with a long row of letters.", "Abra o link que recebeu: termina numa longa fila de letras.", "Abra el enlace que le dieron: termina en una larga fila de letras.",
		"Ouvrez le lien reçu : il se termine par une longue suite de lettres.", "Öffnen Sie den Link, den Sie bekommen haben: Er endet mit einer langen Reihe von Buchstaben.", "يُرجى فتح الرابط المستلَم: ينتهي بسلسلة طويلة من الحروف.", "请打开您收到的链接：末尾是一长串字母。"),
	"trouble.broken": all("Something is broken on the server. It is tried again; its log says more.", "Algo falhou no servidor. Volta a tentar; o registo diz mais.", "Algo falló en el servidor. Se reintenta; su registro dice más.",
		"Une panne sur le serveur. Nouvel essai ; son journal en dit plus.", "Auf dem Server ist etwas kaputt. Es wird wieder versucht; sein Protokoll sagt mehr.", "حدث عطل في الخادم. تُعاد المحاولة؛ وفي سجله تفاصيل.", "服务器出错，会重试；详情见其日志。"),
	"trouble.cross": all("The server takes this for another site’s doing: open the page by the address that it printed.", "O servidor julga que vem de outro site: abra a página pelo endereço que ele indicou.", "El servidor cree que viene de otro sitio: abra la página con la dirección que indicó.",
		"Le serveur croit à un autre site : ouvrez la page par l’adresse qu’il a affichée.", "Der Server hält das für eine fremde Seite: Öffnen Sie die Seite unter der Adresse, die er genannt hat.", "يظن الخادم أن الطلب من موقع آخر: يُرجى فتح الصفحة بالعنوان الذي طبعه.", "服务器认为请求来自其他网站：请用它给出的地址打开本页。"),
	"trouble.gone": all("This is not on the server any more.", "Isto já não está no servidor.", "Esto ya no está en el servidor.", "Ceci n’est plus sur le serveur.", "Das gibt es auf dem Server nicht mehr.", "لم يعد هذا على الخادم.", "服务器上已没有此内容。"),

	// What is taken now. Which photograph of how many; a length.
	"taking":      all("In the frame", "Em pose", "En la foto", "En place", "Im Bild", "قيد التصوير", "正在拍"),
	"next":        all("Next", "A seguir", "Siguiente", "À suivre", "Als Nächstes", "التالي", "下一张"),
	"numberOf":    all("%[1]s of %[2]s", "%[1]s de %[2]s", "%[1]s de %[2]s", "%[1]s sur %[2]s", "%[1]s von %[2]s", "%[1]s من %[2]s", "第 %[1]s 张，共 %[2]s 张"),
	"putOff":      all("put off", "adiada", "pospuesta", "reportée", "verschoben", "مؤجَّلة", "已推后"),
	"waitFirst":   all("Wait %[1]s first", "Esperar antes %[1]s", "Esperar antes %[1]s", "Attendre d’abord %[1]s", "Erst %[1]s warten", "انتظار %[1]s أولًا", "先等 %[1]s"),
	"missingNow":  all("Missing:", "Em falta:", "Faltan:", "Introuvables :", "Fehlt:", "غياب:", "缺："),
	"without":     all("Without", "Sem", "Sin", "Sans", "Ohne", "من دون", "不含"),
	"then":        all("Then:", "Depois:", "Después:", "Puis :", "Danach:", "بعدها:", "然后："),
	"lastOne":     all("This is the last one.", "É a última.", "Es la última.", "C’est la dernière.", "Das ist die letzte.", "هذه هي الأخيرة.", "这是最后一张。"),
	"allTaken":    all("All taken", "Tudo feito", "Todo hecho", "Tout est pris", "Alles aufgenommen", "اكتمل التصوير", "全部拍完"),
	"onlyWaiting": all("What is left waits", "O que resta espera", "Lo que queda espera", "Le reste attend", "Der Rest wartet", "الباقي قيد الانتظار", "其余在等待"),
	"callNow":     all("Call now", "Chamar agora", "Llamar ahora", "Appeler", "Jetzt aufrufen", "النداء الآن", "现在叫"),

	// Buttons.
	"start":    all("Start", "Começar", "Empezar", "Débuter", "Beginnt", "بدء", "开始"),
	"notNow":   all("Not yet", "Ainda não", "Aún no", "Pas encore", "Noch nicht", "ليس بعد", "还没"),
	"missing":  all("Missing", "Falta", "Falta", "Manque", "Fehlt", "غياب", "缺人"),
	"later":    all("Later", "Depois", "Luego", "Plus tard", "Später", "لاحقًا", "稍后"),
	"undo":     all("Undo", "Anular", "Deshacer", "Annuler", "Zurück", "تراجع", "撤销"),
	"undoThis": all("Undo: %[1]s", "Anular: %[1]s", "Deshacer: %[1]s", "Annuler : %[1]s", "Zurücknehmen: %[1]s", "تراجع عن: %[1]s", "撤销：%[1]s"),
	"putBack":  all("Put back", "Repor", "Reponer", "Remettre", "Zurückstellen", "إعادة إلى القائمة", "放回"),
	"close":    all("Close", "Fechar", "Cerrar", "Fermer", "Schließen", "إغلاق", "关闭"),
	"keep":     all("Keep", "Guardar", "Guardar", "Garder", "Aufheben", "حفظ", "保存"),
	"set":      all("Set", "Marcar", "Fijar", "Fixer", "Setzen", "تعيين", "设定"),
	"add":      all("Add a photograph", "Juntar uma foto", "Añadir una foto", "Ajouter une photo", "Aufnahme dazu", "إضافة صورة", "加一张"),
	"print":    all("Print what is left", "Imprimir o resto", "Imprimir lo que queda", "Imprimer le reste", "Rest drucken", "طباعة الباقي", "打印剩余"),
	"note":     all("Write a note", "Escrever uma nota", "Escribir una nota", "Écrire une note", "Notiz schreiben", "كتابة ملاحظة", "写备注"),

	// What a mark was about: the photograph or the person; a time.
	"told.started":  all("Started: %[1]s", "Começou: %[1]s", "Empezó: %[1]s", "Débutée : %[1]s", "Begonnen: %[1]s", "بدأت: %[1]s", "开始：%[1]s"),
	"told.taken":    all("Taken: %[1]s", "Feita: %[1]s", "Hecha: %[1]s", "Prise : %[1]s", "Aufgenommen: %[1]s", "تم: %[1]s", "已拍：%[1]s"),
	"told.put_back": all("Put back: %[1]s", "Reposta: %[1]s", "Repuesta: %[1]s", "Remise : %[1]s", "Zurückgestellt: %[1]s", "أُعيدت: %[1]s", "放回：%[1]s"),
	"told.skipped":  all("Later: %[1]s", "Depois: %[1]s", "Luego: %[1]s", "Plus tard : %[1]s", "Später: %[1]s", "لاحقًا: %[1]s", "稍后：%[1]s"),
	"told.absent":   all("Missing: %[1]s", "Falta: %[1]s", "Falta: %[1]s", "Introuvable : %[1]s", "Fehlt: %[1]s", "غياب: %[1]s", "缺：%[1]s"),
	"told.arrived":  all("Is there: %[1]s", "Chegou: %[1]s", "Llegó: %[1]s", "De retour : %[1]s", "Ist da: %[1]s", "حضور: %[1]s", "已到：%[1]s"),
	"told.gone":     all("Has left: %[1]s", "Foi embora: %[1]s", "Se fue: %[1]s", "A quitté : %[1]s", "Gegangen: %[1]s", "مغادرة: %[1]s", "已离开：%[1]s"),
	"told.late":     all("Comes at %[2]s: %[1]s", "Vem às %[2]s: %[1]s", "Viene a las %[2]s: %[1]s", "Vient à %[2]s : %[1]s", "Kommt um %[2]s: %[1]s", "قدوم في %[2]s: %[1]s", "%[2]s 到：%[1]s"),
	"told.added":    all("Added: %[1]s", "Juntada: %[1]s", "Añadida: %[1]s", "Ajoutée : %[1]s", "Dazugekommen: %[1]s", "أُضيفت: %[1]s", "已加：%[1]s"),
	"told.without":  all("Without the missing: %[1]s", "Sem quem falta: %[1]s", "Sin quien falta: %[1]s", "Sans qui manque : %[1]s", "Ohne wer fehlt: %[1]s", "من دون الغائبين: %[1]s", "不等缺席者：%[1]s"),
	"told.note":     all("Note", "Nota", "Nota", "Note", "Notiz", "ملاحظة", "备注"),

	// Who is missing.
	"whoMissing":      all("Who is missing?", "Quem falta?", "¿Quién falta?", "Qui manque ?", "Wer fehlt?", "من الغائب؟", "缺谁？"),
	"itWaits":         all("It waits for them", "Espera por eles", "Espera a que lleguen", "On les attend", "Es wartet auf sie", "تنتظر حضورهم", "等他们"),
	"takeWithout":     all("Take it without them", "Fazer sem eles", "Hacerla sin esperar", "La prendre sans eux", "Ohne sie aufnehmen", "التصوير من دونهم", "不等，直接拍"),
	"takeWithoutThem": all("Take it without %[1]s", "Fazer sem %[1]s", "Hacerla sin %[1]s", "La prendre sans %[1]s", "Ohne %[1]s aufnehmen", "التصوير من دون %[1]s", "不等 %[1]s，直接拍"),
	"waitAgain":       all("Wait for everybody again", "Voltar a esperar por todos", "Volver a esperar a todos", "Attendre tout le monde", "Wieder auf alle warten", "انتظار الجميع من جديد", "改回等所有人"),
	"chooseSomebody":  all("Choose somebody first.", "Escolha primeiro alguém.", "Elija primero a alguien.", "Choisissez d’abord quelqu’un.", "Wählen Sie zuerst jemanden.", "يُرجى اختيار شخص أولًا.", "请先选人。"),
	"private":         all("Private notes", "Notas privadas", "Notas privadas", "Notes privées", "Private Notizen", "ملاحظات خاصة", "私密备注"),

	// Where somebody is. Minutes; a time.
	"arrived":     all("Is there now", "Já está", "Ya está", "Est là", "Ist jetzt da", "الحضور الآن", "已经到了"),
	"notFound":    all("Cannot be found", "Não se encontra", "No aparece", "Introuvable", "Nicht zu finden", "تعذّر العثور", "找不到"),
	"left":        all("Has left for good", "Foi embora de vez", "Se fue del todo", "Parti pour de bon", "Ist nach Hause gegangen", "مغادرة نهائية", "已经离开"),
	"comesLater":  all("Comes later", "Vem mais tarde", "Viene más tarde", "Vient plus tard", "Kommt später", "قدوم لاحق", "稍后到"),
	"comesAt":     all("At", "Às", "A las", "À", "Um", "في", "时间"),
	"comesAtTime": all("comes at %[1]s", "vem às %[1]s", "viene a las %[1]s", "vient à %[1]s", "kommt um %[1]s", "قدوم في %[1]s", "%[1]s 到"),
	"isMissing":   all("cannot be found", "não se encontra", "no aparece", "introuvable", "nicht zu finden", "تعذّر العثور", "找不到"),
	"hasLeft":     all("has left", "foi embora", "se fue", "n’est plus là", "ist gegangen", "مغادرة", "已离开"),
	"inMinutes": {
		plain("in %[1]s min"), plain("em %[1]s min"), plain("en %[1]s min"), plain("dans %[1]s min"), plain("in %[1]s Min."), plain("بعد %[1]s د"), plain("%[1]s 分钟后"),
	},

	// A photograph on the spot, a note.
	"newTitle": all("What it is called", "Como se chama", "Cómo se llama", "Son nom", "Wie sie heißt", "اسمها", "名称"),
	"newWho":   all("Who is in it: search", "Quem entra: procurar", "Quién sale: buscar", "Qui y est : chercher", "Wer darauf ist: suchen", "من فيها: بحث", "有谁：搜索"),
	"newMust":  all("It must be taken", "Tem de ser feita", "Tiene que hacerse", "Elle est indispensable", "Sie muss gemacht werden", "لا بد من التقاطها", "必须拍"),
	"noteFor":  all("Only the planner and the lead see it.", "Só quem planeia e quem dirige a vê.", "Solo la ven quien planifica y quien dirige.", "Visible seulement pour l’organisation et la direction.", "Nur Planung und Leitung sehen sie.", "لا تظهر إلا للتخطيط والإدارة.", "只有策划和负责人可见。"),
	"notes":    all("Notes", "Notas", "Notas", "Notes", "Notizen", "ملاحظات", "备注"),

	// The list and the overview. Taken, of how many; a time.
	"waiting":     all("Waits", "Em espera", "En espera", "En attente", "Wartet", "قيد الانتظار", "等待中"),
	"waitsFor":    all("Waits for", "Espera por", "Espera a", "Attend", "Wartet auf", "بانتظار", "在等"),
	"notPlanned":  all("not planned yet", "ainda sem lugar", "aún sin sitio", "pas encore prévue", "noch nicht eingeplant", "غير مخطَّطة بعد", "尚未安排"),
	"progress":    all("%[1]s of %[2]s taken", "%[1]s de %[2]s feitas", "%[1]s de %[2]s hechas", "%[1]s sur %[2]s prises", "%[1]s von %[2]s aufgenommen", "تم %[1]s من %[2]s", "已拍 %[1]s / %[2]s"),
	"notHere":     all("Not here", "Ausências", "Ausencias", "Absences", "Nicht da", "غياب", "不在场"),
	"owed":        all("Still owed", "Em dívida", "Pendientes", "Encore dues", "Noch offen", "المتبقي المعلّق", "尚欠"),
	"needed":      all("Needed:", "Precisa de:", "Hacen falta:", "Il faut :", "Gebraucht:", "المطلوب:", "需要："),
	"nothingOwed": all("Nothing waits.", "Nada em espera.", "Nada en espera.", "Rien en attente.", "Nichts wartet.", "لا شيء قيد الانتظار.", "没有等待的。"),
	"stillToTake": all("To be taken", "Por fazer", "Por hacer", "À prendre", "Aufzunehmen", "للتصوير", "待拍"),
	"finishes":    all("Finish", "Fim", "Fin", "Fin", "Ende", "الانتهاء", "结束"),
	"safely":      all("safely by %[1]s", "com segurança até às %[1]s", "con seguridad a las %[1]s", "sûrement à %[1]s", "sicher bis %[1]s", "بأمان حتى %[1]s", "稳妥估计 %[1]s"),
	"closes":      all("it has to end at %[1]s", "tem de acabar às %[1]s", "tiene que acabar a las %[1]s", "il faut finir à %[1]s", "muss um %[1]s zu Ende sein", "يجب الانتهاء في %[1]s", "须在 %[1]s 结束"),
	"roughly":     all("Reckoned on this device; the server plans anew when it hears of it.", "Calculado neste aparelho; o servidor replaneia quando souber.", "Calculado en este aparato; el servidor replanifica al saberlo.", "Estimé sur cet appareil ; le serveur replanifie dès qu’il le sait.", "Auf diesem Gerät geschätzt; der Server plant neu, sobald er es erfährt.", "محسوب على هذا الجهاز؛ يعيد الخادم التخطيط حين يعلم.", "由本设备估算；服务器得知后会重新安排。"),
	"drop":        all("To end in time, do without:", "Para acabar a tempo, deixar de fora:", "Para acabar a tiempo, dejar fuera:", "Pour finir à l’heure, renoncer à :", "Um rechtzeitig fertig zu sein, weglassen:", "للانتهاء في الوقت يُستغنى عن:", "要按时结束，可放弃："),
	"find":        all("Search a name", "Procurar um nome", "Buscar un nombre", "Chercher un nom", "Namen suchen", "بحث عن اسم", "搜索姓名"),

	// What else there is.
	"language":  all("Language", "Língua", "Idioma", "Langue", "Sprache", "اللغة", "语言"),
	"dismiss":   all("I have seen it", "Já vi", "Visto", "Vu", "Gesehen", "تم الاطلاع", "知道了"),
	"newer":     all("The list was changed after this began.", "A lista mudou depois de isto começar.", "La lista cambió después de empezar.", "La liste a changé depuis le début.", "Die Liste wurde geändert, nachdem es begonnen hat.", "تغيّرت القائمة بعد البدء.", "开始之后清单有改动。"),
	"beginAnew": all("Begin anew with it", "Recomeçar com ela", "Empezar de nuevo con ella", "Recommencer avec elle", "Damit neu beginnen", "البدء من جديد بها", "用新清单重新开始"),
	"beginAnewAsk": all("Begin anew? For everybody all photographs are open again; what was marked stays with the old run.", "Recomeçar? Para todos, todas as fotos ficam por fazer; o que foi marcado fica na volta antiga.",
		"¿Empezar de nuevo? Para todos, todas las fotos quedan por hacer; lo marcado queda en la vuelta anterior.", "Recommencer ? Pour tous, toutes les photos sont à refaire ; ce qui est coché reste dans l’ancien passage.",
		"Neu beginnen? Dann sind für alle alle Aufnahmen wieder offen; was abgehakt war, bleibt beim alten Durchgang.", "البدء من جديد؟ تعود كل الصور مفتوحة للجميع، ويبقى ما سُجِّل مع الجولة السابقة.", "重新开始？所有人的所有照片都会变回未拍；旧标记留在旧的一轮中。"),
	"thisDevice": all("This device", "Este aparelho", "Este aparato", "Cet appareil", "Dieses Gerät", "هذا الجهاز", "本设备"),
	"secure": all("This page also opens without signal.", "Esta página abre também sem rede.", "Esta página se abre también sin señal.", "Cette page s’ouvre aussi sans réseau.",
		"Diese Seite öffnet sich auch ohne Netz.", "تُفتح هذه الصفحة بلا شبكة أيضًا.", "没有信号也能打开本页。"),
	"howTrust": all("How this phone comes to trust the server", "Como este telefone passa a confiar no servidor", "Cómo hacer que este teléfono confíe en el servidor", "Comment ce téléphone fait confiance au serveur",
		"Wie dieses Telefon dem Server vertraut", "كيف يثق هذا الهاتف بالخادم", "如何让此手机信任服务器"),
	"insecure": all("The phone does not trust this address (https), so the page cannot be opened without signal: leave it open. What you mark is kept all the same.", "O telefone não confia neste endereço (https), por isso a página não abre sem rede: deixe-a aberta. O que marcar fica guardado na mesma.",
		"El teléfono no confía en esta dirección (https), así que la página no se abre sin señal: déjela abierta. Lo que marque se guarda igualmente.", "Le téléphone ne fait pas confiance à cette adresse (https) : la page ne s’ouvre pas sans réseau, laissez-la ouverte. Ce que vous cochez est gardé quand même.",
		"Das Telefon vertraut dieser Adresse nicht (https); ohne Netz lässt sich die Seite nicht öffnen: Lassen Sie sie offen. Was Sie abhaken, bleibt trotzdem erhalten.", "لا يثق الهاتف بهذا العنوان (https)، فلا تُفتح الصفحة بلا شبكة: يُرجى إبقاؤها مفتوحة. ما يُسجَّل يبقى محفوظًا مع ذلك.", "手机不信任此地址（https），没有信号时无法打开本页：请保持打开。标记仍会保存。"),
	"leave":    all("Forget this on this device", "Esquecer neste aparelho", "Olvidar en este aparato", "Oublier sur cet appareil", "Auf diesem Gerät vergessen", "نسيان ذلك على هذا الجهاز", "在本设备上清除"),
	"leaveAsk": all("Names and list are deleted from this device. To open it again you need the link.", "Nomes e lista são apagados deste aparelho. Para abrir de novo precisa do link.", "Nombres y lista se borran de este aparato. Para abrirla de nuevo necesita el enlace.", "Noms et liste sont effacés de cet appareil. Pour rouvrir, il faut le lien.", "Namen und Liste werden auf diesem Gerät gelöscht. Zum Öffnen brauchen Sie dann wieder den Link.", "تُحذف الأسماء والقائمة من هذا الجهاز. لفتحها ثانية يلزم الرابط.", "姓名和清单会从本设备删除。再次打开需要链接。"),
	"leaveUnsent": {
		plain("%[1]s not sent yet. They stay on this device until you open a link to the same event again."), plain("%[1]s por enviar. Ficam neste aparelho até voltar a abrir um link do mesmo evento."),
		plain("%[1]s sin enviar. Quedan en este aparato hasta que abra otro enlace del mismo evento."), plain("%[1]s pas encore envoyé. Cela reste ici jusqu’à un nouveau lien vers le même événement."),
		plain("%[1]s noch nicht gesendet. Es bleibt hier, bis Sie wieder einen Link zu derselben Veranstaltung öffnen."), plain("لم يُرسَل بعد: %[1]s. تبقى هنا إلى حين فتح رابط للمناسبة نفسها."), plain("%[1]s 条尚未发送，会留在本设备上，直到再次打开同一活动的链接。"),
	},
}

// all is a text that has no forms for numbers, in every language.
func all(en, pt, es, fr, de, ar, zh string) [7]message {
	return [7]message{plain(en), plain(pt), plain(es), plain(fr), plain(de), plain(ar), plain(zh)}
}
