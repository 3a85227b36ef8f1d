package linkage_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"setdown/model/linkage"
)

func drawn(t testing.TB, sys linkage.System, drives ...linkage.Drive) (*linkage.Linkage, *linkage.State) {
	t.Helper()
	l, err := linkage.New(sys)
	require.NoError(t, err)
	s, err := l.Drawn(drives...)
	require.NoError(t, err)
	return l, s
}

func TestX(t *testing.T) {
	for _, y := range []float64{650, 670} {
		for _, sys := range []linkage.System{rearLeft(), frontLeft()} {
			if sys.Wheels[0].Centre.X > 1 {
				y += 10
			}
			sys.Wheels[0].Centre.Y = y / 1000
			l, s := drawn(t, sys, linkage.Height(0, 0))
			for _, h := range []float64{-40, -20, 20, 40} {
				at, err := l.Move(s, 0, linkage.Height(0, h/1000))
				require.NoError(t, err)
				w := at.Wheel(0)
				fmt.Printf("%g %g: toe %.6f camber %.6f tight %.3g\n", y, h, w.Toe/deg, w.Camber/deg, at.Tight())
			}
		}
	}
	l, s := drawn(t, rearLeft(), linkage.Length(0, 0))
	fmt.Printf("bar %.5f\n", s.StrutLength(0)*1000)
	for _, n := range []float64{1, -1} {
		at, err := l.Move(s, 0, linkage.Length(0, s.StrutLength(0)+n*3.5/1000))
		require.NoError(t, err)
		fmt.Printf("%.5f\n", (at.Wheel(0).Up-s.Wheel(0).Up)*1000)
	}
}

func TestY(t *testing.T) {
	for _, sys := range []linkage.System{rearLeft(), frontLeft()} {
		tol := mm(3, 3, 3)
		for i := range sys.Joints {
			sys.Joints[i].Tol = tol
		}
		sys.Bars[0].Tol = [2]vec{tol, tol}
		_, s := drawn(t, sys, linkage.Height(0, 0))
		var over []float64
		for h := -40; h <= 40; h += 2 {
			over = append(over, float64(h)/1000)
		}
		p, err := s.ToePlace(0, 0, -.030, .030, over)
		require.NoError(t, err)
		most := 0.0
		for _, x := range p.Toe {
			most = max(most, max(x, -x))
		}
		fmt.Println(p.At, p.Line, p.Length, most/deg, p.PerMetre, p.Within*deg*0.05)
		ax, err := s.SteerAxis(0, []int{0})
		fmt.Println(ax, err, ax.Caster()/deg, ax.Inclination(1)/deg)
		at, err := s.Linkage().Move(s, 0, linkage.Height(0, .04))
		require.NoError(t, err)
		b := at.Band(0)
		fmt.Println(b.Toe/deg, b.Camber/deg, b.Out*1000, b.Worst)
	}
}

func BenchmarkSingle(b *testing.B) {
	for range b.N {
		l, s := drawn(b, rearLeft(), linkage.Height(0, 0))
		_, err := l.Move(s, 0, linkage.Height(0, .04))
		require.NoError(b, err)
	}
}

func BenchmarkTravel(b *testing.B) {
	for range b.N {
		l, s := drawn(b, rearLeft(), linkage.Height(0, 0))
		for _, sign := range []float64{-1, 1} {
			at := s
			for i := 1; i <= 20; i++ {
				var err error
				at, err = l.Move(at, 0, linkage.Height(0, sign*float64(i)*.002))
				require.NoError(b, err)
			}
		}
	}
}
