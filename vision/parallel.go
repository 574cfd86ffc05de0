package vision

import (
	"runtime"
	"sync"
)

// Parallel calls f for 0 to n-1 on all processors and waits.
func Parallel(n int, f func(i int)) {
	var wait sync.WaitGroup
	workers := runtime.GOMAXPROCS(0)
	for k := range workers {
		wait.Add(1)
		go func() {
			defer wait.Done()
			for i := k; i < n; i += workers {
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
