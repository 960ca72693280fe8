package prose

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// Whose kin somebody is, is said without the apostrophe, too.
func TestOwnersWithoutApostrophe(t *testing.T) {
	got, _ := photographsOf(t, "wedding of nell & otto", "", "1. nell and ottos mum (vera)", "2. otto and nells two sisters (ida and pia)", "3. nell, ida and idas little ones (max and mia)", "4. otto with his mum")
	assert.Equal(t, []string{"nell, vera", "ida, otto, pia", "ida, max, mia, nell", "otto, vera"}, got)
}

// Who the couple are is said in sentences, too.
func TestCoupleInSentences(t *testing.T) {
	for _, first := range []string{
		"The bride is Nell and the groom is Otto, the 8th of May.", "Hi! it's me (Nell) and Otto", "Hello, Otto and me (Nell) are getting married",
		"Die Braut ist Nell und der Bräutigam ist Otto.", "La novia es Nell y el novio es Otto.",
	} {
		got, _ := photographsOf(t, first, "", "- Nell and Otto with Ida", "- Nell with Karl", "- Otto with Vera", "- Otto and Karl", "- Ida and Karl with the bride")
		assert.Equal(t, []string{"Ida, Nell, Otto", "Karl, Nell", "Otto, Vera", "Karl, Otto", "Ida, Karl, Nell"}, got, first)
	}
}
