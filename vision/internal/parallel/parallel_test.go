package parallel

import "testing"

func TestEachCallsEveryOneOnce(t *testing.T) {
	for _, n := range []int{0, 1, 2, 1000} {
		calls := make([]int, n)
		Each(n, func(i int) { calls[i]++ })
		for i, c := range calls {
			if c != 1 {
				t.Errorf("of %d, number %d was called %d times", n, i, c)
			}
		}
	}
}
