package prose

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

// Two lines that tell of the kin of the bride and of the groom say who is who of the two, whatever stands around the name.
func TestHalvesTold(t *testing.T) {
	for _, form := range []string{"Wren (bride) - %", "Wren (the bride): %", "Wren, bride: %", "Bride Wren - %", "Bride (Wren) - %", "Bride: Wren - %", "Bride: Wren, %"} {
		bride := strings.ReplaceAll(form, "%", "mother Ida, father Karl, brother Max (SO is Nell)")
		groom := strings.NewReplacer("Wren", "Ash", "bride", "groom", "Bride", "Groom", "%", "mother Vera, sister Lou (SO: Kit)").Replace(form)
		got, _ := photographsOf(t, "ASH + WREN, family photo list", "", bride, groom, "",
			"#1 Groom with mother", "#2 Bride with bride's parents", "#3 Bride with bride's siblings and SOs", "#4 Groom with siblings + SOs")
		assert.Equal(t, []string{"Ash, Vera", "Ida, Karl, Wren", "Max, Nell, Wren", "Ash, Kit, Lou"}, got, form)
	}
	got, _ := photographsOf(t, "LISTE DER GRUPPENFOTOS", "", "Braut Wren: Mutter Ida, Vater Karl", "Bräutigam Ash: Mutter Vera, Schwester Lou", "", "1. Bräutigam mit Mutter", "2. Braut mit Eltern")
	assert.Equal(t, []string{"Ash, Vera", "Ida, Karl, Wren"}, got)
	got, _ = photographsOf(t, "FORMALS", "Bride: Wren Lind     Groom: Ash Moe     Date: Sat. Oct 3", "", "- Bride with Mom (Ida)", "- Bride with Dad (Karl)", "- Bride with both parents")
	assert.Equal(t, []string{"Ida, Wren Lind", "Karl, Wren Lind", "Ida, Karl, Wren Lind"}, got)
}

// What stands between kin and its name below whose they are says nothing.
func TestKinEquals(t *testing.T) {
	for _, is := range []string{" = ", ": ", " - ", " is "} {
		got, _ := photographsOf(t, "Family photos: Wren + Ash", "", "> Bride, Mum", "> Groom, Mum, Dad, siblings", "> Bride, Mum, Dad", "", "Who's who",
			"Ash: Mum"+is+"Vera, Dad"+is+"Gil, sister Lou (fiance Kit)", "Wren: Mum"+is+"Ida, Dad"+is+"Karl, brother Max (wife Nell)")
		assert.Equal(t, []string{"Ida, Wren", "Ash, Gil, Lou, Vera", "Ida, Karl, Wren"}, got, is)
	}
}

// Whose family a heading names stays so, whoever is named behind it; a grandmother may be called by another word for one.
func TestHerFamily(t *testing.T) {
	got, _ := photographsOf(t, "PHOTO LIST: Wren and Ash", "", "Her family: Ida (mom), Karl (dad), Max (brother), Meme Ona (Karl's mother), Grandma June and Grandpa Walter (Ida's parents)",
		"His family: Vera (mom), Gil (dad), Lou (sister), grandmother Grammy Joy", "", "FORMALS", "- Bride with mom", "- Bride with siblings", "- Bride with maternal grandparents", "- Bride with paternal grandmother", "- Groom with his grandmother")
	assert.Equal(t, []string{"Ida, Wren", "Max, Wren", "Grandma June, Grandpa Walter, Wren", "Meme Ona, Wren", "Ash, Grammy Joy"}, got)
}

// At a day without a couple a surname for several leads those of a family behind a dash; boys and girls of the grandchildren are two photos.
func TestSurnamedFamilies(t *testing.T) {
	got, _ := photographsOf(t, "Lind family reunion: photo groups", "", "1. Grandma Ona with all the grandkids", "2. Each family by itself:", "   * Linds - Karl, Ida, Max (10), Nora (9)", "   * The Moes - Vera, Gil, Leo 7, Ella 4",
		"3. Boy grandkids / girl grandkids")
	assert.Equal(t, []string{"Ella, Grandma Ona, Leo, Max, Nora", "Ida, Karl, Max, Nora", "Ella, Gil, Leo, Vera", "Leo, Max", "Ella, Nora"}, got)
}

// How a photo is to be taken names nobody.
func TestFastIsNobody(t *testing.T) {
	got, res := photographsOf(t, "Wren and Ash", "", "Wren + Mom (Ida)", "Wren + Dad (Karl)", "Wren + Mom + Dad, just one and fast. Ida & Karl aren't on good terms so not side by side please")
	assert.Equal(t, []string{"Ida, Wren", "Karl, Wren", "Ida, Karl, Wren"}, got)
	assert.Len(t, res.Event.People, 4)
}
