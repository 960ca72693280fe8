package wording

// standingTexts are what is said of who stands where. Rows are seen from the camera; lengths in metres
// come as text.
var standingTexts = map[Key]row{
	"Who stands where": {
		"Quem fica onde", "Quién se pone dónde", "Qui se place où", "Wer wo steht", "من يقف أين", "站位图",
	},
	"Where everybody stands, as the camera sees it": {
		"Onde cada pessoa fica, vista da câmara", "Dónde se pone cada persona, vista desde la cámara",
		"Où chacun se place, vu de l’appareil", "Wo alle stehen, von der Kamera aus gesehen",
		"مكان كل شخص كما تراه الكاميرا", "每个人的位置，从相机方向看",
	},
	"Left and right are as the camera sees them.": {
		"Esquerda e direita são vistas da câmara.", "La izquierda y la derecha se ven desde la cámara.",
		"La gauche et la droite sont vues de l’appareil.", "Links und rechts sind von der Kamera aus gesehen.",
		"اليسار واليمين كما تراهما الكاميرا.", "左右以相机方向为准。",
	},
	"One row":                        {"Uma fila", "Una fila", "Un seul rang", "Eine Reihe", "صف واحد", "一排"},
	"Front row":                      {"Fila da frente", "Primera fila", "Premier rang", "Vordere Reihe", "الصف الأمامي", "前排"},
	"Back row":                       {"Fila de trás", "Última fila", "Dernier rang", "Hintere Reihe", "الصف الخلفي", "后排"},
	"Row %s":                         {"Fila %s", "Fila %s", "Rang %s", "Reihe %s", "الصف %s", "第%s排"},
	"standing":                       {"de pé", "de pie", "debout", "stehend", "وقوفًا", "站立"},
	"on the ground":                  {"no chão", "en el suelo", "assis par terre", "am Boden sitzend", "جلوسًا على الأرض", "坐在地上"},
	"kneeling":                       {"de joelhos", "de rodillas", "à genoux", "kniend", "على الركبتين", "跪着"},
	"on chairs":                      {"em cadeiras", "en sillas", "sur des chaises", "auf Stühlen", "على كراسٍ", "坐椅子"},
	"in a wheelchair":                {"em cadeira de rodas", "en silla de ruedas", "en fauteuil roulant", "im Rollstuhl", "على كرسي متحرك", "坐轮椅"},
	"on the step":                    {"no degrau", "en el escalón", "sur la marche", "auf der Stufe", "على الدرجة", "站在台阶上"},
	"on the second step":             {"no segundo degrau", "en el segundo escalón", "sur la deuxième marche", "auf der zweiten Stufe", "على الدرجة الثانية", "站在第二级台阶上"},
	"camera":                         {"câmara", "cámara", "appareil", "Kamera", "الكاميرا", "相机"},
	"holding":                        {"com", "con", "tient", "mit", "ومعه", "抱着"},
	"%s m wide and %s m deep":        {"%s m de largura e %s m de fundo", "%s m de ancho y %s m de fondo", "%s m de large et %s m de profondeur", "%s m breit und %s m tief", "العرض %s م والعمق %s م", "宽%s米、深%s米"},
	"Change place":                   {"Mudam de lugar", "Cambian de sitio", "Changent de place", "Wechseln den Platz", "يغيّرون أماكنهم", "换位"},
	"It does not fit the place: %s.": {"Não cabe no local: %s.", "No cabe en el lugar: %s.", "Cela ne tient pas sur place : %s.", "Es passt nicht an den Ort: %s.", "لا يتسع المكان: %s.", "场地不够：%s。"},
	"Let a front row kneel, where the ground is fit for it.": {
		"Ponha uma fila de joelhos à frente, se o chão o permitir.", "Ponga una fila de rodillas delante, si el suelo lo permite.",
		"Placez un rang à genoux devant, si le sol s’y prête.", "Lassen Sie vorne eine Reihe knien, wo der Boden es zulässt.",
		"ضع صفًا أماميًا على الركبتين إن كانت الأرض صالحة لذلك.", "地面合适时，让前排跪下。",
	},
	"Put a front row on chairs: %s of them.": {
		"Ponha uma fila em cadeiras à frente: %s cadeiras.", "Ponga delante una fila en sillas: %s sillas.",
		"Placez devant un rang sur des chaises : %s chaises.", "Setzen Sie vorne eine Reihe auf Stühle: %s Stühle.",
		"ضع صفًا أماميًا على كراسٍ، وعددها: %s.", "前排坐椅子：%s把。",
	},
	"Put a back row on a step, where a safe one is at hand.": {
		"Ponha a fila de trás num degrau, se houver um seguro.", "Ponga la última fila en un escalón, si hay uno seguro.",
		"Placez le dernier rang sur une marche, s’il y en a une sûre.", "Stellen Sie die hintere Reihe auf eine Stufe, wo eine sichere da ist.",
		"ضع الصف الخلفي على درجة آمنة إن وُجدت.", "有安全的台阶时，让后排站上去。",
	},
	"Put two back rows on steps, where safe ones are at hand.": {
		"Ponha duas filas de trás em degraus, se os houver seguros.", "Ponga las dos últimas filas en escalones, si los hay seguros.",
		"Placez les deux derniers rangs sur des marches, s’il y en a de sûres.", "Stellen Sie zwei hintere Reihen auf Stufen, wo sichere da sind.",
		"ضع صفين خلفيين على درجات آمنة إن وُجدت.", "有安全的台阶时，让后两排站上去。",
	},
	"Take it in two photographs, or where there is more room.": {
		"Faça duas fotografias, ou vá para onde haja mais espaço.", "Haga dos fotos, o vaya donde haya más espacio.",
		"Faites deux photos, ou allez là où il y a plus de place.", "Machen Sie zwei Fotos daraus, oder gehen Sie dorthin, wo mehr Platz ist.",
		"التقط صورتين أو اختر مكانًا أوسع.", "分两张拍，或换到更宽的地方。",
	},
	"A face may be hidden: let people look out between those in front.": {
		"Um rosto pode ficar tapado: deixe as pessoas olhar entre as da frente.", "Puede quedar tapada una cara: que miren entre los de delante.",
		"Un visage risque d’être caché : faites regarder entre ceux de devant.", "Ein Gesicht kann verdeckt sein: lassen Sie zwischen den Vorderen hindurchsehen.",
		"قد يُحجب وجه: دع الناس ينظرون من بين من أمامهم.", "可能有人被挡住：请从前排之间露出脸。",
	},
	"A wheelchair is at the end of a row: bring somebody beside it.": {
		"Há uma cadeira de rodas na ponta da fila: ponha alguém ao lado.", "Hay una silla de ruedas en el extremo de la fila: ponga a alguien al lado.",
		"Un fauteuil roulant est au bout d’un rang : placez quelqu’un à côté.", "Ein Rollstuhl steht am Ende einer Reihe: stellen Sie jemanden daneben.",
		"كرسي متحرك في طرف الصف: ضع شخصًا بجانبه.", "轮椅在一排的末端：请安排人在旁边。",
	},
	"Some heights are guessed by age: adjust by eye.": {
		"Algumas alturas são estimadas pela idade: acerte a olho.", "Algunas alturas se estiman por la edad: ajuste a ojo.",
		"Certaines tailles sont estimées d’après l’âge : ajustez à l’œil.", "Manche Größen sind nach dem Alter geschätzt: nach Augenmaß anpassen.",
		"بعض الأطوال مقدّرة حسب العمر: عدّل بالنظر.", "部分身高按年龄估计：请目测调整。",
	},
	"Steps, chairs and ladders stand firm and level, and somebody holds them. Nobody stands on a chair, and nobody climbs against their wish. The venue's rules and the people themselves decide.": {
		"Degraus, cadeiras e escadotes ficam firmes e nivelados, e alguém os segura. Ninguém fica de pé numa cadeira nem sobe contra vontade. Decidem as regras do local e as próprias pessoas.",
		"Escalones, sillas y escaleras, firmes y nivelados, y alguien los sujeta. Nadie se sube a una silla ni sube contra su voluntad. Deciden las normas del lugar y las propias personas.",
		"Marches, chaises et escabeaux sont stables et d’aplomb, et quelqu’un les tient. Personne ne monte sur une chaise ni ne grimpe contre son gré. Le règlement du lieu et les personnes elles-mêmes décident.",
		"Stufen, Stühle und Leitern stehen fest und eben, und jemand hält sie. Niemand stellt sich auf einen Stuhl, niemand steigt gegen seinen Willen hinauf. Die Regeln des Ortes und die Menschen selbst entscheiden.",
		"الدرجات والكراسي والسلالم ثابتة ومستوية ويمسكها أحد. لا يقف أحد على كرسي ولا يصعد أحد رغمًا عنه. القرار لقواعد المكان وللأشخاص أنفسهم.",
		"台阶、椅子和梯子要稳固、放平，并有人扶着。不要站在椅子上，也不要勉强任何人登高。以场地规定和本人意愿为准。",
	},
	"width of the space in centimetres":   {"largura do espaço em centímetros", "anchura del espacio en centímetros", "largeur de l’espace en centimètres", "Breite des Platzes in Zentimetern", "عرض المساحة بالسنتيمتر", "场地宽度（厘米）"},
	"depth of the space in centimetres":   {"profundidade do espaço em centímetros", "profundidad del espacio en centímetros", "profondeur de l’espace en centimètres", "Tiefe des Platzes in Zentimetern", "عمق المساحة بالسنتيمتر", "场地深度（厘米）"},
	"height of the lens in centimetres":   {"altura da objetiva em centímetros", "altura del objetivo en centímetros", "hauteur de l’objectif en centimètres", "Höhe des Objektivs in Zentimetern", "ارتفاع العدسة بالسنتيمتر", "镜头高度（厘米）"},
	"distance of the lens in centimetres": {"distância da objetiva em centímetros", "distancia del objetivo en centímetros", "distance de l’objectif en centimètres", "Abstand des Objektivs in Zentimetern", "بُعد العدسة بالسنتيمتر", "镜头距离（厘米）"},
	"height of a step in centimetres":     {"altura de um degrau em centímetros", "altura de un escalón en centímetros", "hauteur d’une marche en centimètres", "Höhe einer Stufe in Zentimetern", "ارتفاع الدرجة بالسنتيمتر", "台阶高度（厘米）"},
	"number of chairs":                    {"número de cadeiras", "número de sillas", "nombre de chaises", "Zahl der Stühle", "عدد الكراسي", "椅子数量"},
	"number of steps":                     {"número de degraus", "número de escalones", "nombre de marches", "Zahl der Stufen", "عدد الدرجات", "台阶数量"},
	"The space has steps and no height of them: write stepCm, for example 17.": {
		"O espaço tem degraus sem altura: escreva stepCm, por exemplo 17.", "El espacio tiene escalones sin altura: escriba stepCm, por ejemplo 17.",
		"L’espace a des marches sans hauteur : écrivez stepCm, par exemple 17.", "Der Platz hat Stufen ohne Höhe: schreiben Sie stepCm, zum Beispiel 17.",
		"في المساحة درجات بلا ارتفاع: اكتب stepCm، مثلًا 17.", "场地有台阶但没有写高度：请写 stepCm，例如 17。",
	},
	"In %s two people whom a rule keeps from standing side by side do: too few others are in it. Place them yourself, or add somebody.": {
		"Em %s ficam lado a lado duas pessoas que uma regra separa: há poucas outras. Coloque-as à mão, ou junte alguém.",
		"En %s quedan juntas dos personas que una regla separa: hay pocas más. Colóquelas usted, o añada a alguien.",
		"Dans %s, deux personnes qu’une règle sépare sont côte à côte : il y a trop peu d’autres. Placez-les vous-même, ou ajoutez quelqu’un.",
		"In %s stehen zwei Personen nebeneinander, die eine Regel trennt: es sind zu wenige andere dabei. Stellen Sie sie selbst auf, oder nehmen Sie jemanden dazu.",
		"في %s يقف جنبًا إلى جنب شخصان تفصل بينهما قاعدة، فالآخرون قلة. ضعهما بنفسك أو أضف أحدًا.",
		"%s中，有两位按规则不应相邻的人站在一起：其他人太少。请自行安排，或加人。",
	},
	"%s takes %s and there is %s. %s": {
		"%s ocupa %s e há %s. %s", "%s ocupa %s y hay %s. %s", "%s prend %s et il y a %s. %s", "%s braucht %s, und da sind %s. %s",
		"%s تحتاج إلى %s والمتاح %s. %s", "%s需要%s，而场地只有%s。%s",
	},
	"%s m across":             {"%s m de largura", "%s m de ancho", "%s m de large", "%s m Breite", "عرض %s م", "宽%s米"},
	"%s m from front to back": {"%s m de fundo", "%s m de fondo", "%s m de profondeur", "%s m Tiefe", "عمق %s م", "深%s米"},
	"No standing plan has been made for this sheet.": {
		"Esta folha não tem plano de lugares.", "Esta hoja no tiene plano de posiciones.", "Aucun placement n’a été calculé pour cette feuille.",
		"Für dieses Blatt gibt es keinen Aufstellungsplan.", "لا يوجد مخطط أماكن لهذه الورقة.", "此表没有站位安排。",
	},
}
