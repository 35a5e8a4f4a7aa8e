package shop

import (
	"encoding/json"

	"witnessmark/core/point"
)

// Facts are append-only. Each has an id made by whoever captured it, so that sending it twice stores it once. Times
// are milliseconds since 1970 UTC: TakenAt by the capturing device's clock, ReceivedAt by the server's.

// Owner is the person that a car's reports go to.
type Owner struct {
	Name  string `json:"name"`
	Phone string `json:"phone,omitempty"`
	Email string `json:"email,omitempty"`
}

// SpecEntry is a figure or word of one car with its origin.
type SpecEntry struct {
	Text    string             `json:"text,omitempty"`
	Numbers map[string]float64 `json:"numbers,omitempty"` // by position; "" is the whole car
	Origin  string             `json:"origin"`
}

// CarVersion is all that was known of a car from one moment on. A change is a new version; the last one counts.
type CarVersion struct {
	ID              string               `json:"id"` // of this version
	CarID           string               `json:"car"`
	Plate           string               `json:"plate"`
	VIN             string               `json:"vin,omitempty"`
	Description     string               `json:"description"`
	Owner           Owner                `json:"owner"`
	FirstRegistered string               `json:"first_registered,omitempty"` // 2009-04
	Units           string               `json:"units"`                      // metric or us
	Facets          map[string]string    `json:"facets,omitempty"`           // only what was said; defaults stay out
	Specs           map[string]SpecEntry `json:"specs,omitempty"`
	By              string               `json:"by"`
	ReceivedAt      int64                `json:"received_at"`
	// Seq is the order of arrival, given by the store.
	Seq int64 `json:"-"`
}

// OdometerFact is one reading of a car's odometer.
type OdometerFact struct {
	ID         string  `json:"id"`
	CarID      string  `json:"car"`
	On         string  `json:"on"` // 2026-03-21
	Km         float64 `json:"km"`
	Note       string  `json:"note,omitempty"`
	By         string  `json:"by"`
	ReceivedAt int64   `json:"received_at"`
	// Seq is the order of arrival, given by the store.
	Seq int64 `json:"-"`
}

// RenewalFact says that an item of a car was renewed.
type RenewalFact struct {
	ID         string  `json:"id"`
	CarID      string  `json:"car"`
	Item       string  `json:"item"`
	At         string  `json:"at,omitempty"` // a corner (FL), an axle (F), a counted part (1); empty is the whole car
	On         string  `json:"on"`
	Km         float64 `json:"km"` // negative when not known
	Note       string  `json:"note,omitempty"`
	By         string  `json:"by"`
	ReceivedAt int64   `json:"received_at"`
	// Seq is the order of arrival, given by the store.
	Seq int64 `json:"-"`
}

// RoundFact says that a round was begun.
type RoundFact struct {
	ID         string   `json:"id"`
	CarID      string   `json:"car"`
	Depth      string   `json:"depth"`
	On         string   `json:"on"`
	Km         float64  `json:"km"` // negative when not known
	AmbientC   *float64 `json:"ambient_degC,omitempty"`
	EngineHot  bool     `json:"engine_hot,omitempty"`
	By         string   `json:"by"`
	ReceivedAt int64    `json:"received_at"`
	// EndedAt is 0 while the round is open. It comes from a RoundEnd fact and is not part of this one.
	EndedAt int64 `json:"-"`
	// Withdrawn is true once a WithdrawalFact says that it no longer counts. Lists of rounds leave it out.
	Withdrawn bool `json:"-"`
	// Seq is the order of arrival, given by the store.
	Seq int64 `json:"-"`
}

// Baseline reports whether it holds the first readings after work rather than a walk round the car. Such a round has no points that it
// should have looked at, and its readings come after the renewals of its day.
func (r *RoundFact) Baseline() bool { return r.Depth == string(point.Baseline) }

// RoundEnd says that a round was finished, with the catalogue version that judged it.
type RoundEnd struct {
	ID         string `json:"id"`
	RoundID    string `json:"round"`
	Catalogue  string `json:"catalogue"`
	By         string `json:"by"`
	ReceivedAt int64  `json:"received_at"`
}

// ReadingFact is one reading as it was made. A later fact for the same round, point and position corrects it; a
// withdrawn one takes the place's reading back. The first entry stays.
type ReadingFact struct {
	ID         string             `json:"id"`
	RoundID    string             `json:"round"`
	CarID      string             `json:"car"`
	Point      string             `json:"point"`
	At         string             `json:"at,omitempty"`
	State      string             `json:"state,omitempty"`
	Code       string             `json:"code,omitempty"`
	Values     map[string]float64 `json:"values,omitempty"`
	Skipped    string             `json:"skipped,omitempty"`
	Note       string             `json:"note,omitempty"`
	Withdrawn  bool               `json:"withdrawn,omitempty"`
	By         string             `json:"by"`
	TakenAt    int64              `json:"taken_at"`
	ReceivedAt int64              `json:"received_at"`
	// Seq is the order of arrival, given by the store.
	Seq int64 `json:"-"`
}

// PhotoFact attaches a stored photo to a point of a round.
type PhotoFact struct {
	ID         string `json:"id"`
	RoundID    string `json:"round"`
	Point      string `json:"point"`
	At         string `json:"at,omitempty"`
	Hash       string `json:"hash"` // SHA-256 of the stored JPEG, hex
	Width      int    `json:"width"`
	Height     int    `json:"height"`
	Withdrawn  bool   `json:"withdrawn,omitempty"` // a later fact with the same hash and Withdrawn takes the photo off
	By         string `json:"by"`
	ReceivedAt int64  `json:"received_at"`
}

// ShareFact is a link for an owner to one round's report. Only a hash of the token is kept.
type ShareFact struct {
	ID         string `json:"id"`
	RoundID    string `json:"round"`
	TokenHash  string `json:"token_hash"` // SHA-256 of the token, hex
	ExpiresAt  int64  `json:"expires_at"`
	By         string `json:"by"`
	ReceivedAt int64  `json:"received_at"`
}

// ShareEnd revokes a link.
type ShareEnd struct {
	ID         string `json:"id"`
	ShareID    string `json:"share"`
	By         string `json:"by"`
	ReceivedAt int64  `json:"received_at"`
}

// ClassesFact is what the workshop's history had taught at one moment: the laws of ageing as they were fitted to the facts that
// had arrived by then. The last to arrive counts. It can be computed again from the same facts and catalogue.
type ClassesFact struct {
	ID string `json:"id"`
	// Through is the order of arrival up to which facts counted, Catalogue the catalogue's version whose laws were the start.
	Through   int64  `json:"through"`
	Catalogue string `json:"catalogue"`
	// Cars and Looks are how many cars and readings counted.
	Cars  int `json:"cars"`
	Looks int `json:"looks"`
	// Fitted is a list of outlook.Fitted. It is kept as it was written, so that later versions may say more.
	Fitted     json.RawMessage `json:"fitted"`
	By         string          `json:"by"`
	ReceivedAt int64           `json:"received_at"`
	// Seq is the order of arrival, given by the store.
	Seq int64 `json:"-"`
}

// Kinds of facts that a WithdrawalFact can withdraw.
const (
	OfRenewal  = "renewal"
	OfOdometer = "odometer"
	OfRound    = "round"
)

// WithdrawalFact says that a renewal, an odometer reading or a round no longer counts, as if it had never been: it was entered by mistake,
// or the close-out that it came from was taken back. What it withdraws stays on record, and it can't be withdrawn itself.
type WithdrawalFact struct {
	ID    string `json:"id"`
	CarID string `json:"car"`
	// What is one of the kinds above, FactID the id of the fact of that kind.
	What       string `json:"what"`
	FactID     string `json:"fact"`
	Why        string `json:"why,omitempty"`
	By         string `json:"by"`
	ReceivedAt int64  `json:"received_at"`
	// Seq is the order of arrival, given by the store.
	Seq int64 `json:"-"`
}

// Fact is one line of an export: exactly one of its fields is set.
type Fact struct {
	Car      *CarVersion   `json:"car_version,omitempty"`
	Odometer *OdometerFact `json:"odometer,omitempty"`
	Renewal  *RenewalFact  `json:"renewal,omitempty"`
	Round    *RoundFact    `json:"round,omitempty"`
	RoundEnd *RoundEnd     `json:"round_end,omitempty"`
	Reading  *ReadingFact  `json:"reading,omitempty"`
	Photo    *PhotoFact    `json:"photo,omitempty"`
	Share    *ShareFact    `json:"share,omitempty"`
	ShareEnd *ShareEnd     `json:"share_end,omitempty"`
	Classes  *ClassesFact  `json:"classes,omitempty"`
	// What reasoning about causes keeps.
	Told      *ToldFact      `json:"told,omitempty"`
	Look      *LookFact      `json:"look,omitempty"`
	Confirmed *ConfirmedFact `json:"confirmed,omitempty"`
	// What no longer counts.
	Withdrawal *WithdrawalFact `json:"withdrawal,omitempty"`
	// What the workshop deals with its owners about.
	Record *Record `json:"record,omitempty"`
}
