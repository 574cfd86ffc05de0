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
