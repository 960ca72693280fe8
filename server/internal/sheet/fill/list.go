package fill

import (
	"math"

	"kinorder.example/server/internal/sheet/fold"
)

// Block is the photos of a block on a list, below its head.
type Block struct {
	Head, Late string
	Lines      []Line
}

// Line is a photo on a list: its title, with who steps in below it, and who is free then beside it.
type Line struct {
	Title    string
	In, Then []string
}

// sizes are the sizes of type that a list is set in, in points: the largest at which it fits. Down to named it has who steps
// in, which is worth more than a larger title to whoever has to call.
var sizes = []float64{16, 15, 14, 13, 12, 11, 10, 9}

const named = 12.0

// shares are the shares of the width for the names of who is free, in percent: what is left is for titles.
var shares = []int{22, 26, 30, 34, 40, 47}

// List says in which size of type a list fits so much of a page, with which share for who is free, and whether with who
// steps in. The names have as much of the width as makes the list shortest.
func List(blocks []Block, wide, high float64) (size float64, share int, in bool) {
	for _, in = range []bool{true, false} {
		for _, size = range sizes {
			if in && size < named {
				break
			}
			least := math.Inf(1)
			for _, s := range shares {
				if h := listed(blocks, wide, size, s, in); h < least {
					least, share = h, s
				}
			}
			if least <= high {
				return size, share, in
			}
		}
	}
	return size, share, in
}

// listed is the height of a list in points. Widths of characters and heights of rows are by trial on paper.
func listed(blocks []Block, wide, size float64, share int, in bool) float64 {
	then, small := wide*float64(share)/100, max(9, 0.83*size) // the names are set smaller
	room := wide - then - 7.6*size - max(4.8*size, 52)        // points for titles
	title, names, free := int(room/(0.57*size)), int(room/(0.54*small)), int((then-0.6*size)/(0.54*small))
	sum := 0.0
	for _, b := range blocks {
		sum += size * (1.15*float64(fold.Rows(b.Head, int(wide/(0.56*size)))) + 0.6)
		if b.Late != "" {
			sum += 1.15 * size * float64(fold.Rows(b.Late, int(wide/(0.56*size))))
		}
		for _, l := range b.Lines {
			left := size * float64(fold.Rows(l.Title, title))
			if in && len(l.In) > 0 {
				left += small * float64(fold.RowsOfNames(l.In, names))
			}
			sum += 1.15*max(left, small*float64(fold.RowsOfNames(l.Then, free))) + 0.28*size
		}
	}
	return sum
}
