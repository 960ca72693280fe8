package api

import (
	"fmt"

	kinorderv1 "kinorder.example/proto/kinorder/v1"
	"kinorder.example/server/internal/event"
)

var (
	sunDays = pairs(event.SunRises, map[kinorderv1.SunDay]event.SunDay{
		kinorderv1.SunDay_SUN_DAY_RISES:      event.SunRises,
		kinorderv1.SunDay_SUN_DAY_STAYS_UP:   event.SunStaysUp,
		kinorderv1.SunDay_SUN_DAY_STAYS_DOWN: event.SunStaysDown,
	})
	sunHeights = pairs(event.HighSun, map[kinorderv1.SunHeight]event.SunHeight{
		kinorderv1.SunHeight_SUN_HEIGHT_HIGH:     event.HighSun,
		kinorderv1.SunHeight_SUN_HEIGHT_LOW:      event.LowSun,
		kinorderv1.SunHeight_SUN_HEIGHT_TWILIGHT: event.Twilight,
		kinorderv1.SunHeight_SUN_HEIGHT_DARK:     event.Dark,
	})
	sunSides = pairs(event.SideUnknown, map[kinorderv1.SunSide]event.SunSide{
		kinorderv1.SunSide_SUN_SIDE_AHEAD:  event.SunAhead,
		kinorderv1.SunSide_SUN_SIDE_BEHIND: event.SunBehind,
		kinorderv1.SunSide_SUN_SIDE_LEFT:   event.SunLeft,
		kinorderv1.SunSide_SUN_SIDE_RIGHT:  event.SunRight,
	})
	glares = pairs(event.NoGlare, map[kinorderv1.Glare]event.Glare{
		kinorderv1.Glare_GLARE_INTO_LENS: event.IntoLens,
		kinorderv1.Glare_GLARE_INTO_EYES: event.IntoEyes,
	})
	lensWarnings = pairs(event.NoLensWarning, map[kinorderv1.LensWarning]event.LensWarning{
		kinorderv1.LensWarning_LENS_WARNING_SPACE_TOO_SMALL: event.SpaceTooSmall,
		kinorderv1.LensWarning_LENS_WARNING_NOT_ALL_SHARP:   event.NotAllSharp,
		kinorderv1.LensWarning_LENS_WARNING_EDGES_STRETCHED: event.EdgesStretched,
		kinorderv1.LensWarning_LENS_WARNING_SMALL_IN_FRAME:  event.SmallInFrame,
	})
)

func kitFromWire(w *kinorderv1.Kit) event.Kit {
	return event.Kit{
		SensorWidthMM: w.GetSensorWidthMm(), SensorHeightMM: w.GetSensorHeightMm(), GroupAperture: w.GetGroupAperture(),
		Lenses: each(w.GetLenses(), func(l *kinorderv1.Lens) event.Lens {
			return event.Lens{
				Title: l.GetTitle(), FocalMM: l.GetFocalMm(), FocalToMM: l.GetFocalToMm(), Widest: l.GetWidest(),
				WidestLong: l.GetWidestLong(), ClosestCM: int(l.GetClosestCm()),
			}
		}),
	}
}

// same copies a number that may be absent.
func same(v *float64) *float64 {
	if v == nil {
		return nil
	}
	w := *v
	return &w
}

// kitToWire returns nil for no kit, so that none is read back.
func kitToWire(k event.Kit) *kinorderv1.Kit {
	if !k.Given() {
		return nil
	}
	return &kinorderv1.Kit{
		SensorWidthMm: k.SensorWidthMM, SensorHeightMm: k.SensorHeightMM, GroupAperture: k.GroupAperture,
		Lenses: each(k.Lenses, func(l event.Lens) *kinorderv1.Lens {
			return &kinorderv1.Lens{
				Title: text(l.Title), FocalMm: l.FocalMM, FocalToMm: l.FocalToMM, Widest: l.Widest,
				WidestLong: l.WidestLong, ClosestCm: narrow(l.ClosestCM),
			}
		}),
	}
}

// lightToWire returns nil for nil.
func lightToWire(l *event.BlockLight) *kinorderv1.BlockLight {
	if l == nil {
		return nil
	}
	return &kinorderv1.BlockLight{
		SunriseTime: instant(l.Sunrise), SunsetTime: instant(l.Sunset), DuskTime: instant(l.Dusk),
		Sun: sunDays.wire[l.Sun], Twilight: sunDays.wire[l.Twilight],
		Begin: sunAtToWire(l.Begin), End: sunAtToWire(l.End), Glare: glares.wire[l.Glare],
	}
}

func sunAtToWire(s event.SunAt) *kinorderv1.SunAt {
	return &kinorderv1.SunAt{
		Altitude: narrow(s.Altitude), Azimuth: narrow(s.Azimuth), Height: sunHeights.wire[s.Height], Side: sunSides.wire[s.Side],
	}
}

func (r *reader) light(w *kinorderv1.BlockLight, field string) *event.BlockLight {
	if w == nil {
		return nil
	}
	return &event.BlockLight{
		Sunrise:  r.time(w.GetSunriseTime(), field+"sunriseTime"),
		Sunset:   r.time(w.GetSunsetTime(), field+"sunsetTime"),
		Dusk:     r.time(w.GetDuskTime(), field+"duskTime"),
		Sun:      fromEnum(r, sunDays, w.GetSun(), field+"sun"),
		Twilight: fromEnum(r, sunDays, w.GetTwilight(), field+"twilight"),
		Begin:    r.sunAt(w.GetBegin(), field+"begin."),
		End:      r.sunAt(w.GetEnd(), field+"end."),
		Glare:    fromEnum(r, glares, w.GetGlare(), field+"glare"),
	}
}

func (r *reader) sunAt(w *kinorderv1.SunAt, field string) event.SunAt {
	return event.SunAt{
		Altitude: int(w.GetAltitude()),
		Azimuth:  int(w.GetAzimuth()),
		Height:   fromEnum(r, sunHeights, w.GetHeight(), field+"height"),
		Side:     fromEnum(r, sunSides, w.GetSide(), field+"side"),
	}
}

// lensToWire returns nil for nil.
func lensToWire(l *event.EntryLens) *kinorderv1.EntryLens {
	if l == nil {
		return nil
	}
	return &kinorderv1.EntryLens{
		Lens: narrow(l.Lens), FocalMm: l.FocalMM, Upright: l.Upright, DistanceCm: narrow(l.DistanceCM), Aperture: l.Aperture,
		FocusCm: narrow(l.FocusCM), FocusRow: narrow(l.FocusRow), NearCm: narrow(l.NearCM), FarCm: narrow(l.FarCM),
		AngleAcross: l.AngleAcross, AngleUp: l.AngleUp, Rows: narrow(l.Rows),
		WidthCm: narrow(l.WidthCM), HeightCm: narrow(l.HeightCM), DepthCm: narrow(l.DepthCM),
		Warnings: each(l.Warnings, func(x event.LensWarning) kinorderv1.LensWarning { return lensWarnings.wire[x] }),
	}
}

func (r *reader) lens(w *kinorderv1.EntryLens, field string) *event.EntryLens {
	if w == nil {
		return nil
	}
	return &event.EntryLens{
		Lens: int(w.GetLens()), FocalMM: r.decimal(w.GetFocalMm(), field+"focalMm"), Upright: w.GetUpright(),
		DistanceCM: int(w.GetDistanceCm()), Aperture: r.decimal(w.GetAperture(), field+"aperture"),
		FocusCM: int(w.GetFocusCm()), FocusRow: int(w.GetFocusRow()),
		NearCM: int(w.GetNearCm()), FarCM: int(w.GetFarCm()),
		AngleAcross: r.decimal(w.GetAngleAcross(), field+"angleAcross"), AngleUp: r.decimal(w.GetAngleUp(), field+"angleUp"),
		Rows: int(w.GetRows()), WidthCM: int(w.GetWidthCm()), HeightCM: int(w.GetHeightCm()),
		DepthCM: int(w.GetDepthCm()),
		Warnings: eachAt(w.GetWarnings(), func(i int, x kinorderv1.LensWarning) event.LensWarning {
			return fromEnum(r, lensWarnings, x, fmt.Sprintf("%swarnings[%d]", field, i))
		}),
	}
}

// decimal reads a figure of a sheet, which is never below 0 and never very large.
func (r *reader) decimal(v float64, field string) float64 {
	if !(v >= 0 && v <= 10_000) {
		r.fault(field, event.CodeOutOfRange, "the number must be from 0 to 10000")
		return 0
	}
	return v
}
