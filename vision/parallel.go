package vision

import (
	"runtime"
	"sync"
	"sync/atomic"
)

// Parallel calls f for 0 to n-1 on all processors and waits. Whoever is free takes the next, for
// one call may take as long as many others.
func Parallel(n int, f func(i int)) {
	var wait sync.WaitGroup
	var next atomic.Int64
	for range min(n, runtime.GOMAXPROCS(0)) {
		wait.Add(1)
		go func() {
			defer wait.Done()
			for i := int(next.Add(1)) - 1; i < n; i = int(next.Add(1)) - 1 {
				f(i)
			}
		}()
	}
	wait.Wait()
}

// findEach calls f for 0 to n-1 on all processors and returns, in that order,
// what it found.
func findEach[T any](n int, f func(i int) (found T, ok bool)) []T {
	all, ok := make([]T, n), make([]bool, n)
	Parallel(n, func(i int) { all[i], ok[i] = f(i) })
	var out []T
	for i, found := range all {
		if ok[i] {
			out = append(out, found)
		}
	}
	return out
}
