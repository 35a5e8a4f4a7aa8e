package simulate

import "witnessmark/core/point"

func (v *visit) picture(p *point.Point, at string, s sight) {}
