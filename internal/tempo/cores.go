package tempo

import (
	"runtime"
	"sync"
)

// onAllCores does do for 0..n-1 on all cores: reps are independent of one another, and the
// result does not hang on the order.
func onAllCores(n int, do func(i int)) {
	var work sync.WaitGroup
	workers := min(runtime.GOMAXPROCS(0), n)
	for w := range workers {
		work.Go(func() {
			for i := w; i < n; i += workers {
				do(i)
			}
		})
	}
	work.Wait()
}
