package shop

import (
	"witnessmark/core/estimate"
	"witnessmark/core/money"
)

// Kinds of records.
const (
	KindTerms       = "terms"
	KindPrices      = "prices"
	KindPlaced      = "placed"
	KindEstimate    = "estimate"
	KindOffer       = "offer"
	KindOfferEnd    = "offer-end"
	KindDecision    = "decision"
	KindWork        = "work"
	KindCloseOut    = "close-out"
	KindCloseOutEnd = "close-out-end"
	KindSettled     = "settled"
	KindConsent     = "consent"
	KindStop        = "stop"
	KindMail        = "mail"
	KindMailStep    = "mail-step"
	KindFeed        = "feed"
	KindFeedEnd     = "feed-end"
)

// Terms are how the workshop charges and works; the last record counts.
type Terms struct {
	Estimate estimate.Terms `json:"estimate"`
	// Address stands at the head of what owners get.
	Address []string `json:"address,omitempty"`
	// HourRate is the price of an hour's labour; LabourTax and PartsTax are ids of taxes.
	HourRate  money.Amount `json:"hour_rate"`
	LabourTax string       `json:"labour_tax"`
	PartsTax  string       `json:"parts_tax"`
	// SundriesRate is taken of an item's labour for what is used up uncounted, at most SundriesMost an item. A rate of 0 takes none, a
	// most of 0 sets no bound.
	SundriesRate money.Rate   `json:"sundries_rate,omitempty"`
	SundriesMost money.Amount `json:"sundries_most,omitempty"`
	// ValidDays is how long an estimate can be accepted.
	ValidDays int `json:"valid_days"`
	// VisitMinutes is the labour that fits one visit; VisitCost what a visit costs the owner beside the work (the day without the
	// car), which the planner weighs and nobody is charged.
	VisitMinutes int          `json:"visit_minutes"`
	VisitCost    money.Amount `json:"visit_cost"`
	// RemindDays is how many days ahead owners are reminded.
	RemindDays int `json:"remind_days"`
}

// Price is one line of a price list.
type Price struct {
	Number string `json:"number"`
	Name   string `json:"name"`
	// Part is an id of the catalogue's parts; empty for what is only typed into estimates.
	Part  string       `json:"part,omitempty"`
	Unit  string       `json:"unit"`
	Price money.Amount `json:"price"`
	Tax   string       `json:"tax,omitempty"`
	// For narrows it to a family of the catalogue by its id, or to one car ("plate:AB-12 CD"); empty fits all.
	For string `json:"for,omitempty"`
}

// PriceList is all that the workshop sells; the last record counts.
type PriceList struct {
	// Currency is the code of the currency that the prices are in; empty for an empty list. A list counts while the terms are in it.
	Currency string `json:"currency,omitempty"`
	// Source is the name of the file that it came from.
	Source string `json:"source"`
	// Replaces is the id of the list that counted before, Restores that of the earlier list which this one brings back; empty for none.
	Replaces string  `json:"replaces,omitempty"`
	Restores string  `json:"restores,omitempty"`
	Prices   []Price `json:"prices"`
}

// Placed says at which visit the adviser wants a job. The last of a job and place counts.
type Placed struct {
	Job string `json:"job"`
	At  string `json:"at,omitempty"`
	// On is the visit's day; empty lets the planner choose again.
	On string `json:"on,omitempty"`
}

// EstimateDraft is one saved state of an estimate. The last of an estimate's number counts, until it is offered; earlier ones are its history.
type EstimateDraft struct {
	Estimate estimate.Estimate `json:"estimate"`
	// RoundID is the round whose findings it answers; may be empty.
	RoundID string `json:"round,omitempty"`
	// Did says what the change was: "made", "line added", "undone".
	Did string `json:"did,omitempty"`
	// Equals is the earlier version that this one was put back to; 0 for a change of its own.
	Equals int `json:"equals,omitempty"`
}

// Offer puts one version of an estimate before the owner. Only the hash of the link's token is kept.
type Offer struct {
	TokenHash string `json:"token_hash"`
	// Digest is SHA-256 of the canonical form of what is shown, hex.
	Digest    string `json:"digest"`
	ExpiresAt int64  `json:"expires_at"`
}

// OfferEnd ends an offer without an answer.
type OfferEnd struct {
	// Why is said by who took it back; ReplacedBy is the id of the newer offer that took its place. One of them may be set.
	Why        string `json:"why,omitempty"`
	ReplacedBy string `json:"replaced_by,omitempty"`
}

// Ways in which an owner answered.
const (
	BySign   = "page"   // on the page under the link
	BySpoken = "spoken" // told the adviser
)

// Decision is an owner's answer to an offer, item by item. An offer is answered once.
type Decision struct {
	How string `json:"how"`
	// Name is what the owner typed, or who spoke.
	Name string `json:"name"`
	// SaidOn is when a spoken answer was given (2026-03-21 14:05).
	SaidOn string `json:"said_on,omitempty"`
	// Address and Agent are where the answer on the page came from, by the network.
	Address string `json:"address,omitempty"`
	Agent   string `json:"agent,omitempty"`
	// Digest is that of the offer, as the form said it that was answered.
	Digest  string            `json:"digest"`
	Answers []estimate.Answer `json:"answers"`
	// Form is the id of the form that was sent, so that sending it again is known as the same.
	Form string `json:"form"`
}

// WorkNote is what happened to a step or an item of an agreed estimate while it was worked on. The last of an item and step counts.
type WorkNote struct {
	Item string `json:"item"`
	// Step is the step's place in the work sheet; empty speaks of the whole item.
	Step string `json:"step,omitempty"`
	// What is done, open (taken back), cannot, minutes or part.
	What    string  `json:"what"`
	Minutes int     `json:"minutes,omitempty"`
	Part    *Fitted `json:"part,omitempty"`
	Note    string  `json:"note,omitempty"`
}

// Fitted is a part as it was fitted.
type Fitted struct {
	Line   string      `json:"line"`
	Name   string      `json:"name"`
	Number string      `json:"number,omitempty"`
	Milli  money.Milli `json:"milli"`
	Batch  string      `json:"batch,omitempty"`
}

// CloseOut ends the work on an agreed estimate. Renewals, baseline readings and the confirmed cause are facts of their own, stored
// in the same transaction, with ids made from the close-out's.
type CloseOut struct {
	On string  `json:"on"`
	Km float64 `json:"km"`
	// RoundID is the round that holds the baseline readings; empty for none.
	RoundID string     `json:"round,omitempty"`
	Items   []ItemDone `json:"items"`
	Follows []Follow   `json:"follows,omitempty"`
	Note    string     `json:"note,omitempty"`
	// Again counts the earlier close-outs of the same work that were taken back.
	Again int `json:"again,omitempty"`
}

// CloseOutEnd takes a close-out back. What came with it is withdrawn by facts of their own, stored in the same transaction.
type CloseOutEnd struct {
	Why string `json:"why"`
}

// ItemDone is how an agreed item ended.
type ItemDone struct {
	Item    string   `json:"item"`
	Done    bool     `json:"done"`
	WhyNot  string   `json:"why_not,omitempty"`
	Minutes int      `json:"minutes"`
	Fitted  []Fitted `json:"fitted,omitempty"`
}

// Follow is a look that the work calls for.
type Follow struct {
	ID    string `json:"id"`
	Item  string `json:"item"`
	Say   string `json:"say"`
	Point string `json:"point,omitempty"`
	// On and Km are when it is due, whichever comes first; Km 0 is none.
	On string  `json:"on"`
	Km float64 `json:"km,omitempty"`
}

// Settled takes something that was to come back off the due list: Ref of the due line.
type Settled struct {
	Due string `json:"due"`
	Why string `json:"why,omitempty"`
	// Back puts it on the list again.
	Back bool `json:"back,omitempty"`
}

// Consent says that an owner wants reminders by mail. A later one, or a Stop, ends it.
type Consent struct {
	Email string `json:"email"`
	// Token opens nothing but the page that stops the mails, so it is kept as it is: every mail names it.
	Token string `json:"token"`
	// How says how it was given, in words.
	How string `json:"how"`
}

// Stop ends a consent.
type Stop struct {
	How string `json:"how"` // link, one-click or adviser
}

// Mail is one message to an owner. Its Once key keeps it from being written twice.
type Mail struct {
	Consent string `json:"consent"`
	To      string `json:"to"`
	Subject string `json:"subject"`
	Text    string `json:"text"`
	// Dues are the lines of the due list that it tells of.
	Dues []string `json:"dues"`
	// Consents are all that must stand when it goes out: an owner of several cars gets one mail. Consent is the first of them.
	Consents []string `json:"consents"`
}

// Steps of a mail's way.
const (
	MailHanding = "handing-over" // the server answered, the message goes out now
	MailSent    = "sent"
	MailFailed  = "failed" // will be tried again
	MailGivenUp = "given-up"
	MailUnsure  = "unsure" // may have gone out; never tried again by itself
	// MailWithdrawn ends a mail whose owner no longer wants it, or whose address has changed; MailAgain is the adviser's word to try once more.
	MailWithdrawn = "withdrawn"
	MailAgain     = "again"
)

// MailStep is one step of a mail's way.
type MailStep struct {
	Step string `json:"step"`
	Note string `json:"note,omitempty"`
}

// Feed is a calendar that can be subscribed to; with a car it is the owner's, without one the workshop's.
type Feed struct {
	TokenHash string `json:"token_hash"`
	Name      string `json:"name"`
	CarID     string `json:"car,omitempty"`
	// Owner is whose car it was when the calendar was made: the next owner's dates are not for the last one's eyes.
	Owner string `json:"owner,omitempty"`
}

// FeedEnd ends a feed.
type FeedEnd struct{}
