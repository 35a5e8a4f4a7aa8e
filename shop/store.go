package shop

import (
	"context"
	"io"
	"time"
)

// Store keeps facts. View runs f in a read transaction, Update in a write transaction that is committed only when f
// returns nil; an error leaves nothing behind. Transactions do not nest.
type Store interface {
	View(ctx context.Context, f func(Reader) error) error
	Update(ctx context.Context, f func(Writer) error) error
	Close() error
}

// CarFilter narrows a list of cars. Zero fields do not narrow.
type CarFilter struct {
	// Text is looked for in plate, VIN, owner and description; every word must occur. Case, spaces and hyphens in plates don't matter.
	Text string
	// Day keeps cars with a round on that day (2026-03-21).
	Day    string
	Limit  int // 0 is 50
	Offset int
}

// CarRow is a car in a list: its current version and its newest round, if any.
type CarRow struct {
	Car       CarVersion
	LastRound *RoundFact
}

// Reader answers questions inside one transaction. A single thing that does not exist is ErrNotFound; a list that has
// nothing is empty. Lists are in order of time, oldest first, unless said otherwise.
type Reader interface {
	// Car gives the current version.
	Car(ctx context.Context, carID string) (CarVersion, error)
	// CarVersions gives every version, oldest first.
	CarVersions(ctx context.Context, carID string) ([]CarVersion, error)
	// Cars lists current versions, newest round first, then by plate; the count is without limit and offset.
	Cars(ctx context.Context, f CarFilter) ([]CarRow, int, error)
	// Odometer, Renewals and Rounds leave out what was withdrawn.
	Odometer(ctx context.Context, carID string) ([]OdometerFact, error)
	Renewals(ctx context.Context, carID string) ([]RenewalFact, error)
	// Withdrawals gives what was withdrawn of a car in order of arrival.
	Withdrawals(ctx context.Context, carID string) ([]WithdrawalFact, error)
	// Round gives a withdrawn one too, and says that it is.
	Round(ctx context.Context, roundID string) (RoundFact, error)
	// Rounds gives a car's rounds, newest first.
	Rounds(ctx context.Context, carID string) ([]RoundFact, error)
	// Readings gives every reading of a round in order of arrival, corrected and withdrawn ones too.
	Readings(ctx context.Context, roundID string) ([]ReadingFact, error)
	// History gives every reading of a car in order of arrival.
	History(ctx context.Context, carID string) ([]ReadingFact, error)
	Photos(ctx context.Context, roundID string) ([]PhotoFact, error)
	// Photo finds a photo by its hash, to know which round it belongs to (the newest fact with that hash).
	Photo(ctx context.Context, hash string) (PhotoFact, error)
	// Shares gives a round's links that were not revoked, expired ones too.
	Shares(ctx context.Context, roundID string) ([]ShareFact, error)
	// Share finds a link that was not revoked by the hash of its token.
	Share(ctx context.Context, tokenHash string) (ShareFact, error)
	// CarIDs lists the ids of cars after one, in order of the ids, at most so many.
	CarIDs(ctx context.Context, after string, limit int) ([]string, error)
	// CarSeq gives the newest order of arrival among the facts that make a car's history, its rounds' ends too; 0 for a car that does
	// not exist. What was told, looked for and confirmed of causes, photos and links don't count.
	CarSeq(ctx context.Context, carID string) (int64, error)
	// HistoryAfter gives the readings of a car that arrived after a seq, in order of arrival.
	HistoryAfter(ctx context.Context, carID string, seq int64) ([]ReadingFact, error)
	// LastSeq gives the newest order of arrival of all.
	LastSeq(ctx context.Context) (int64, error)
	// ReadingsSince counts the readings that arrived after a seq.
	ReadingsSince(ctx context.Context, seq int64) (int, error)
	// Classes gives what was learned last.
	Classes(ctx context.Context) (ClassesFact, error)
	// Told gives what an owner said at a round in order of arrival, withdrawals too.
	Told(ctx context.Context, roundID string) ([]ToldFact, error)
	// Looks gives what was put on a round's list of looks, and answered there, in order of arrival.
	Looks(ctx context.Context, roundID string) ([]LookFact, error)
	// Confirmed gives the causes that were confirmed at all rounds in order of arrival, withdrawals too.
	Confirmed(ctx context.Context) ([]ConfirmedFact, error)
	// ConfirmedSeq gives the newest order of arrival among them; 0 for none.
	ConfirmedSeq(ctx context.Context) (int64, error)
	// Record gives one record of any kind.
	Record(ctx context.Context, id string) (Record, error)
	// Records lists records in order of arrival.
	Records(ctx context.Context, f RecordFilter) ([]Record, error)
	// Each calls f with every fact, in an order in which they can be put back.
	Each(ctx context.Context, f func(Fact) error) error
}

// Writer adds facts. Putting a fact whose id exists already with the same content changes nothing and gives
// created=false; with other content it is ErrConflict. A fact that refers to something that does not exist is ErrNotFound.
type Writer interface {
	Reader
	Put(ctx context.Context, f Fact) (created bool, err error)
	// Enqueue puts a task on the store's queue in the same transaction. It is handed out after the delay.
	Enqueue(ctx context.Context, t Task) error
}

// Task is something to be done outside a transaction. It is handed out again until it is finished.
type Task struct {
	ID string // given by the store
	// Kind says who takes it, Ref what it is about.
	Kind  string
	Ref   string
	Delay time.Duration
}

// Queue hands tasks out. Take gives nil when none is ready; a task taken is not handed out to anybody else within the lease, and
// again after it unless it was finished. Later puts it back with a delay.
type Queue interface {
	Take(ctx context.Context, kind string, lease time.Duration) (*Task, error)
	Later(ctx context.Context, t *Task, delay time.Duration) error
	Finish(ctx context.Context, t *Task) error
}

// Photos keeps photo files by content hash.
type Photos interface {
	// Put stores the bytes and gives their SHA-256 in hex. Storing the same bytes twice keeps one copy.
	Put(ctx context.Context, data []byte) (hash string, err error)
	// Get opens a photo; ErrNotFound when there is none.
	Get(ctx context.Context, hash string) (io.ReadCloser, error)
}
