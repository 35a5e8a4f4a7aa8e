//go:build unix

package sqlite

import (
	"context"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"sync"
	"syscall"
	"testing"
	"time"

	"witnessmark/shop"
)

// The budget with 10 000 cars and 1 000 000 readings: Car, Round, Rounds, Readings, History and Cars each in less than
// 10 ms, a search for text in less than 15 ms. The database is made once; set WITNESSMARK_BENCH_DB to a path to keep it.
const (
	benchCars     = 10_000
	benchRounds   = 4  // of each car
	benchReadings = 25 // of each round
)

var benchOnce = sync.OnceValues(func() (string, error) {
	path := os.Getenv("WITNESSMARK_BENCH_DB")
	if path == "" {
		dir, err := os.MkdirTemp("", "witnessmark-bench-")
		if err != nil {
			return "", err
		}
		benchDir = dir
		path = filepath.Join(dir, "shop.db")
	}
	return path, fillBench(path)
})

// fillBench makes the database when it is empty.
func fillBench(path string) error {
	s, err := Open(path)
	if err != nil {
		return err
	}
	defer s.Close()
	var done int
	if err := s.readers.QueryRow("SELECT COUNT(*) FROM reading").Scan(&done); err != nil {
		return err
	}
	if done == benchCars*benchRounds*benchReadings {
		return nil
	}
	// One round of every car after the other, as in life: a car's readings lie far apart in the file.
	for n := 0; n < benchCars*benchRounds; n += 40 {
		err := s.Update(context.Background(), func(w shop.Writer) error {
			for i := n; i < n+40; i++ {
				if err := benchRound(w, i%benchCars, i/benchCars); err != nil {
					return err
				}
			}
			return nil
		})
		if err != nil {
			return err
		}
	}
	_, err = s.writer.Exec("PRAGMA wal_checkpoint(TRUNCATE)")
	return err
}

func carName(i int) string { return fmt.Sprintf("c-%08x", uint32(i)*2654435761) }

// benchRound puts the n-th round of a car, and the car with its first.
func benchRound(w shop.Writer, i, n int) error {
	ctx := context.Background()
	put := func(f shop.Fact) error { _, err := w.Put(ctx, f); return err }
	carID := carName(i)
	roundID := fmt.Sprintf("%s-r%d", carID, n)
	if n == 0 {
		if err := put(shop.Fact{Car: benchCar(i, carID)}); err != nil {
			return err
		}
	}
	day := fmt.Sprintf("%d-%02d-%02d", 2023+n, 1+i*12/benchCars, 1+i%28)
	if err := put(shop.Fact{Round: &shop.RoundFact{ID: roundID, CarID: carID, Depth: "full", On: day, Km: float64(20_000*n + i), By: "kim", ReceivedAt: 1}}); err != nil {
		return err
	}
	for k := range benchReadings {
		f := shop.Fact{Reading: &shop.ReadingFact{ID: fmt.Sprintf("%s-m%d-%032x", roundID, k, k), RoundID: roundID, CarID: carID,
			Point: fmt.Sprintf("point-with-a-name-%d", k), At: "front-left", State: "measured", Values: map[string]float64{"": 4.5, "inner": float64(k)},
			By: "kim", TakenAt: 1_700_000_000_000, ReceivedAt: 1_700_000_000_001}}
		if err := put(f); err != nil {
			return err
		}
	}
	return put(shop.Fact{RoundEnd: &shop.RoundEnd{ID: roundID + "-e", RoundID: roundID, Catalogue: "1", By: "kim", ReceivedAt: 2}})
}

func benchCar(i int, carID string) *shop.CarVersion {
	return &shop.CarVersion{ID: carID + "-v", CarID: carID, Plate: fmt.Sprintf("%c%c-%04d %c", 'A'+i%26, 'A'+i/26%26, i, 'A'+i%7),
		VIN: fmt.Sprintf("WMX%014d", i), Description: fmt.Sprintf("Estate, %s, 1.%d litres, diesel", []string{"grey", "red", "blue", "white"}[i%4], i%10),
		Owner: shop.Owner{Name: fmt.Sprintf("Owner%d Surname%d", i%977, i%1013), Phone: fmt.Sprintf("+00 155 %06d", i), Email: fmt.Sprintf("o%d@example.org", i)},
		Units: "metric", Facets: map[string]string{"fuel": "diesel", "brakes-rear": "disc"},
		Specs: map[string]shop.SpecEntry{"tyre-pressure": {Numbers: map[string]float64{"": 2.2}, Origin: "door"}}, By: "kim", ReceivedAt: 1}
}

// benchView runs a question in a view of its own, for another car each time.
func benchView(b *testing.B, ask func(r shop.Reader, carID string) (int, error)) {
	path, err := benchOnce()
	if err != nil {
		b.Fatal(err)
	}
	s := reopen(b, path)
	random := rand.New(rand.NewPCG(1, 2))
	ctx := context.Background()
	start := processorTime(b)
	for b.Loop() {
		carID := carName(random.IntN(benchCars))
		err := s.View(ctx, func(r shop.Reader) error {
			n, err := ask(r, carID)
			if err == nil && n == 0 {
				return fmt.Errorf("nothing found for %s", carID)
			}
			return err
		})
		if err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64((processorTime(b)-start).Microseconds())/float64(b.N)/1000, "cpu-ms/op")
}

// processorTime is what this process has used: on a busy machine it says more than the clock.
func processorTime(b *testing.B) time.Duration {
	var u syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
		b.Fatal(err)
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}

// BenchmarkCar: less than 10 ms.
func BenchmarkCar(b *testing.B) {
	benchView(b, func(r shop.Reader, carID string) (int, error) { _, err := r.Car(b.Context(), carID); return 1, err })
}

// BenchmarkHistory: 100 readings, less than 10 ms.
func BenchmarkHistory(b *testing.B) {
	benchView(b, func(r shop.Reader, carID string) (int, error) {
		list, err := r.History(b.Context(), carID)
		return len(list), err
	})
}

// BenchmarkReadings: the 25 readings of a round, less than 10 ms.
func BenchmarkReadings(b *testing.B) {
	benchView(b, func(r shop.Reader, carID string) (int, error) {
		list, err := r.Readings(b.Context(), carID+"-r2")
		return len(list), err
	})
}

// BenchmarkRounds: less than 10 ms.
func BenchmarkRounds(b *testing.B) {
	benchView(b, func(r shop.Reader, carID string) (int, error) {
		list, err := r.Rounds(b.Context(), carID)
		return len(list), err
	})
}

// BenchmarkCars: the first and a late page less than 10 ms, of a day too; a search less than 15 ms.
func BenchmarkCars(b *testing.B) {
	for _, c := range []struct {
		name   string
		filter shop.CarFilter
	}{
		{"first page", shop.CarFilter{}},
		{"late page", shop.CarFilter{Offset: 9_900}},
		{"day", shop.CarFilter{Day: "2025-06-14"}},
		{"plate", shop.CarFilter{Text: "aa-0676"}},
		{"two words", shop.CarFilter{Text: "surname12 grey"}},
		{"common word", shop.CarFilter{Text: "estate"}},
		{"four words", shop.CarFilter{Text: "estate diesel litres 77"}},
		{"last page of a word", shop.CarFilter{Text: "estate", Offset: 9_950}},
	} {
		b.Run(c.name, func(b *testing.B) {
			benchView(b, func(r shop.Reader, _ string) (int, error) {
				list, _, err := r.Cars(b.Context(), c.filter)
				return len(list), err
			})
		})
	}
	b.Run("nothing", func(b *testing.B) {
		benchView(b, func(r shop.Reader, _ string) (int, error) {
			_, _, err := r.Cars(b.Context(), shop.CarFilter{Text: "zzzz"})
			return 1, err
		})
	})
}

// BenchmarkPut: one acknowledged reading, on the disk; less than 20 ms on a disk that syncs in less than 10.
func BenchmarkPut(b *testing.B) {
	s := fresh(b)
	ctx := context.Background()
	if err := putAll(ctx, s, []shop.Fact{{Car: &shop.CarVersion{ID: "v", CarID: "c"}}, {Round: &shop.RoundFact{ID: "r", CarID: "c"}}}, false); err != nil {
		b.Fatal(err)
	}
	for i := 0; b.Loop(); i++ {
		f := shop.Fact{Reading: &shop.ReadingFact{ID: fmt.Sprint(i), RoundID: "r", CarID: "c", Point: "pads", Values: map[string]float64{"": 4}}}
		if err := putAll(ctx, s, []shop.Fact{f}, false); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkImport: readings in transactions of 1000; a million less than five minutes.
func BenchmarkImport(b *testing.B) {
	s := fresh(b)
	ctx := context.Background()
	if err := putAll(ctx, s, []shop.Fact{{Car: &shop.CarVersion{ID: "v", CarID: "c"}}, {Round: &shop.RoundFact{ID: "r", CarID: "c"}}}, false); err != nil {
		b.Fatal(err)
	}
	batch := make([]shop.Fact, 1000)
	n := 0
	for b.Loop() {
		for i := range batch {
			n++
			batch[i] = shop.Fact{Reading: &shop.ReadingFact{ID: fmt.Sprint(n), RoundID: "r", CarID: "c", Point: "pads", Values: map[string]float64{"": 4}}}
		}
		if err := putAll(ctx, s, batch, false); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(b.Elapsed().Microseconds())/float64(n), "µs/fact")
}

// BenchmarkEach streams all 1 100 000 facts.
func BenchmarkEach(b *testing.B) {
	benchView(b, func(r shop.Reader, _ string) (n int, err error) {
		err = r.Each(b.Context(), func(shop.Fact) error { n++; return nil })
		return n, err
	})
}
