package names

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestFind(t *testing.T) {
	people := []string{
		"Rosa Lindqvist", "Sven Lindqvist", "Théo Lindqvist", "Nguyễn Thị Lan", "Nguyễn Minh Khôi", "陈美玲", "أمينة بن علي",
		"Beatriz Falcão", "Anna Weidner", "Anna Kaptein", "Mrs Vance", "Siobhán O’Dell", "Mary Ann Holt", "Pavel Dvořák", "Åke Østby", "Rosario Benali",
	}
	var x Index
	for i, name := range people {
		x.Add(i, name)
	}
	x.Add(13, "Pasha")
	tests := []struct {
		words string
		how   How
		who   []string
	}{
		{"rosa lindqvist", Exact, []string{"Rosa Lindqvist"}},
		{"Pasha", Exact, []string{"Pavel Dvořák"}},
		{"Lindqvist Rosa", Same, []string{"Rosa Lindqvist"}},
		{"Lindqvist, Rosa", Same, []string{"Rosa Lindqvist"}},
		{"Lan Thi Nguyen", Same, []string{"Nguyễn Thị Lan"}},
		{"Beatriz Falcao", Same, []string{"Beatriz Falcão"}},
		{"Ake Ostby", Same, []string{"Åke Østby"}},
		{"Siobhan ODell", Same, []string{"Siobhán O’Dell"}},
		{"Maryann Holt", Same, []string{"Mary Ann Holt"}},
		{"Mr Théo Lindqvist", Same, []string{"Théo Lindqvist"}},
		{"امينه بن على", Same, []string{"أمينة بن علي"}},
		{"Vance", Same, []string{"Mrs Vance"}},
		{"Rosa", Part, []string{"Rosa Lindqvist"}},
		{"Rosa L.", Part, []string{"Rosa Lindqvist"}},
		{"美玲", Part, []string{"陈美玲"}},
		{"Anna", Part, []string{"Anna Weidner", "Anna Kaptein"}},
		{"Lindqvist", Part, []string{"Rosa Lindqvist", "Sven Lindqvist", "Théo Lindqvist"}},
		{"Roza Lindqvist", Near, []string{"Rosa Lindqvist"}},
		{"Beatris", Near, []string{"Beatriz Falcão"}},
		{"Kaptien", Near, []string{"Anna Kaptein"}},
		{"Ana", None, nil}, // three letters: a slip would be another name
		{"Ximena", None, nil},
		{"", None, nil},
		{"Rosa Rosa", None, nil},
	}
	for _, tt := range tests {
		t.Run(tt.words, func(t *testing.T) {
			m := x.Find(tt.words, nil)
			var who []string
			for _, p := range m.People {
				who = append(who, people[p])
			}
			assert.Equal(t, tt.how, m.How)
			assert.Equal(t, tt.who, who)
		})
	}
	assert.Equal(t, []int{9}, x.Find("Anna", func(p int) bool { return p != 8 }).People)
	assert.Equal(t, []int{0}, x.Closest("Rosalind", 3))
	assert.Empty(t, x.Closest("Wolfgang", 3))
}

func FuzzFind(f *testing.F) {
	f.Add("Rosa Lindqvist", "rosa")
	f.Add("陈美玲", "美玲")
	f.Add("a b c d e f g h i", "i h g f e d c b")
	f.Add("i'\u07a9", "") // a sign of another script behind an apostrophe, which goes
	f.Add("\xf3Ӑ", "")    // behind what is no text a letter would not come apart
	f.Fuzz(func(t *testing.T, name, words string) {
		var x Index
		x.Add(0, name)
		if len(Words(name)) > 0 {
			assert.Equal(t, []int{0}, x.Find(name, nil).People, "a name finds its owner")
		}
		x.Find(words, nil)
		x.Closest(words, 3)
		assert.Equal(t, Plain(name), Plain(Plain(name)))
	})
}

// Words that repeat must not make the pairing try every order.
func TestFindRepeatedWords(t *testing.T) {
	var x Index
	for i := range 2000 {
		x.Add(i, "anna anna anna anna anna anna anna bertha")
	}
	assert.Equal(t, None, x.Find("anna anna anna anna anna anna bertha bertha", nil).How)
}
