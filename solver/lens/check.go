package lens

import (
	"errors"
	"fmt"
)

func within(field string, v, low, high float64) error {
	if v >= low && v <= high {
		return nil
	}
	return fmt.Errorf("%s: %g, want %g to %g", field, v, low, high)
}

func (k Kit) check() error {
	errs := []error{
		within("sensor width", k.Sensor.Width, 1, 200),
		within("sensor height", k.Sensor.Height, 1, 200),
	}
	if k.Sensor.Circle != 0 {
		errs = append(errs, within("circle of confusion", k.Sensor.Circle, 0.001, 1))
	}
	if len(k.Optics) == 0 {
		errs = append(errs, errors.New("lenses: none given, want at least one"))
	}
	for i, o := range k.Optics {
		at := fmt.Sprintf("lens %d ", i+1)
		errs = append(errs,
			within(at+"shortest focal length", o.Shortest, 1, 2000),
			within(at+"longest focal length", o.Longest, o.Shortest, 2000),
			within(at+"widest aperture", o.Widest, 0.7, 45),
			within(at+"closest focus", o.Closest, 0, 100_000))
		if o.WidestLong != 0 {
			errs = append(errs, within(at+"widest aperture zoomed in", o.WidestLong, 0.7, 45))
		}
	}
	return errors.Join(errs...)
}

func (g Group) check() error {
	return errors.Join(
		within("group width", g.Width, 1, 100_000),
		within("group height", g.Height, 1, 100_000),
		within("group depth", g.Depth, 0, 100_000),
		within("margin", g.Margin, 0, 1))
}

func (s Space) check() error {
	errs := []error{within("distance", s.Distance, 100, 1_000_000)}
	if s.Slowest != 0 {
		errs = append(errs, within("smallest f-number", s.Slowest, 0.7, 45))
	}
	return errors.Join(errs...)
}
