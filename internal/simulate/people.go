package simulate

import (
	"fmt"
	"strings"

	"witnessmark/shop"
)

// people are those who look. The third reads a gauge a little on the short side, the second on the long side.
var people = []Person{
	{Initials: "BQ"},
	{Initials: "TV", PadMm: 0.15, TreadMm: 0.1},
	{Initials: "LW", PadMm: -0.1, TreadMm: -0.05},
}

var firstNames = []string{"Tilda", "Osric", "Marnie", "Ludo", "Ottoline", "Bram", "Ysolde", "Corwin", "Petra", "Anselm",
	"Fenella", "Jory", "Wilhelmina", "Tobin", "Saskia", "Edwyn", "Lisbet", "Caspar", "Nell", "Rufus",
	"Hanneke", "Ivo", "Maren", "Piers", "Oonagh", "Leif", "Dorothea", "Quillon", "Rosalind", "Stellan"}

// The second names are put together from two halves, so that they sound like names and are nobody's.
var (
	nameHeads = []string{"Brackel", "Fennis", "Quarrel", "Thistle", "Umber", "Wether", "Lanter", "Marl", "Ossel", "Pinder", "Skelder", "Yarrow"}
	nameTails = []string{"moor", "whistle", "combe", "garth", "wick", "dyke", "bottom", "thwaite"}
)

// owner invents the owner of car n. Each of the first few thousand has another name.
func owner(d dice, n int, us bool) shop.Owner {
	head := nameHeads[(n*5+n/12)%len(nameHeads)]
	tail := nameTails[(n*3+n/96)%len(nameTails)]
	first := firstNames[(n*7+n/30)%len(firstNames)]
	last := head + tail
	o := shop.Owner{Name: first + " " + last}
	o.Phone = fmt.Sprintf("01632 960%03d", d.IntN(1000))
	if us {
		o.Phone = fmt.Sprintf("(000) 555-01%02d", d.IntN(100))
	}
	if d.chance(0.85) {
		o.Email = strings.ToLower(first+"."+last) + "@example.org"
	}
	if d.chance(0.08) {
		o.Phone = ""
	}
	return o
}
