package prose

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"kinorder.example/server/internal/event"
)

// A photographer's shorthand: letters for the couple on one line, letters for their parents without a mark between them, names that a
// mark divides elsewhere.
func TestLettersWithoutMarks(t *testing.T) {
	got, res := photographsOf(t, "B = Nell   G = Otto", "MOB Ida, FOB Karl", "G's sisters Efua, Akosua", "Gran = Vera (MOB's mum)", "",
		"1 B G MOB FOB", "2 B G FOB Max Gran", "3 B Max", "4 G Efua Akosua", "5 G + GM (Max, Jon)", "6 B G GM")
	assert.Equal(t, []string{"Ida, Karl, Nell, Otto", "Karl, Max, Nell, Otto, Vera", "Max, Nell", "Akosua, Efua, Otto", "Jon, Max, Otto", "Jon, Max, Nell, Otto"}, got)
	for _, p := range res.Problems {
		assert.NotEqual(t, event.Error, p.Severity, p.Text)
	}
}

// "One of us" is one of the couple, in a letter that first says whose family comes next.
func TestOneOfUs(t *testing.T) {
	got, _ := photographsOf(t, "Hi Jo,", "", "Then my family. My parents are Ida and Karl, my brother is Max. We'd like one of us with just my parents, and one of us with Max.", "", "Thanks", "Nell & Otto")
	assert.Equal(t, []string{"Ida, Karl, Nell, Otto", "Max, Nell, Otto"}, got)
}

// Whoever begins a line of who is who is a child of the grandparents whom the day is about, with a partner and children of their own.
func TestChildrenBelowEach(t *testing.T) {
	got, _ := photographsOf(t, "BODAS DE ORO DE LOS ABUELOS", "", "QUIÉN ES QUIÉN", "Abuelos: Eusebio (79) y Herminia (77)", "Marisol, la mayor, con su marido Joaquín. Hijos: Álvaro (19) e Inés (9)",
		"Fermín, separado de Pilar. Hijos: Hugo (12) y Tomás (7)", "Tía Remedios (81), hermana de la abuela", "", "FOTOS",
		"1. Los abuelos con sus hijos", "2. Los abuelos con todos los nietos", "3. La abuela con su hermana", "4. El abuelo con los nietos (los chicos)", "5. Pilar con Hugo")
	assert.Equal(t, []string{"Eusebio, Fermín, Herminia, Marisol", "Eusebio, Herminia, Hugo, Inés, Tomás, Álvaro", "Herminia, Tía Remedios", "Eusebio, Hugo, Tomás, Álvaro", "Hugo, Pilar"}, got)
}
