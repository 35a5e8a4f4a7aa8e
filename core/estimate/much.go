package estimate

// Much is how much a line is of, in words that don't break: "1 piece", "2 pieces", "0.5 L".
func (l *Line) Much() string {
	u := l.Unit
	if l.Milli != 1000 && (u == "piece" || u == "set") {
		u += "s"
	}
	return l.Milli.String() + "\u00a0" + u
}
