package simulate

import (
	"crypto/sha256"
	"encoding/hex"
	"math"

	"witnessmark/core/point"
	"witnessmark/core/verdict"
	"witnessmark/shop"
)

// pictured are the points of which pictures are taken.
var pictured = map[string]string{"brake-fluid-look": BrakeFluid, "engine-oil-look": EngineOil, "coolant-look": Coolant,
	"steering-fluid-look": SteeringFluid, "pad-thickness": Pad, "tyre-tread": Tread}

// mostPictures bounds the pictures of one round.
const mostPictures = 2

// picture takes a photo of a finding, in a car's newest rounds only.
func (v *visit) picture(p *point.Point, at string, s sight) {
	kind, ok := pictured[p.ID]
	c := v.c
	if !ok || c.w.o.OnPhoto == nil || !v.whole || v.pics >= mostPictures || s.verdict == verdict.Sound || v.shot[kind] {
		return
	}
	v.pics++
	v.shot[kind] = true
	c.photos++
	data := numbered(kind, severity(kind, s), c.n*1000+c.photos, thicknessOf(kind, s))
	sum := sha256.Sum256(data)
	hash := hex.EncodeToString(sum[:])
	c.w.o.OnPhoto(hash, data)
	v.clock += 9000
	at2 := v.clock + v.lag + 3000
	c.w.put(shop.Fact{Photo: &shop.PhotoFact{ID: c.ids.id(at2), RoundID: v.id, Point: p.ID, At: at, Hash: hash, Width: pictureWidth, Height: pictureHeight, By: v.by, ReceivedAt: at2}})
}

// thicknessOf is the thickness that the picture shows: what was read, or -1 for a fluid.
func thicknessOf(kind string, s sight) float64 {
	if _, ok := thicknessShown[kind]; ok {
		return s.value
	}
	return -1
}

// severity chooses the picture that shows what was read: the nearest thickness, or the verdict of a fluid.
func severity(kind string, s sight) int {
	list, ok := thicknessShown[kind]
	if !ok {
		return min(4, s.verdict.Place()+1)
	}
	best := 0
	for i, mm := range list {
		if math.Abs(mm-s.value) < math.Abs(list[best]-s.value) {
			best = i
		}
	}
	return best
}
