package template

import "fmt"

// Units is what lengths are told to the user in. Drawings stay in mm.
type Units int

// The units.
const (
	Millimetres Units = iota
	Inches
)

// ParseUnits reads "mm" or "in".
func ParseUnits(s string) (Units, error) {
	switch s {
	case "mm":
		return Millimetres, nil
	case "in":
		return Inches, nil
	}
	return 0, fmt.Errorf("%q is no unit known here: use mm or in", s)
}

// String returns "mm" or "in".
func (u Units) String() string {
	if u == Inches {
		return "in"
	}
	return "mm"
}

// Format returns a length without its unit: millimetres with two decimals, or
// inches with three.
func (u Units) Format(mm float64) string {
	if u == Inches {
		return fmt.Sprintf("%.3f", mm/inch)
	}
	return fmt.Sprintf("%.2f", mm)
}

// Fine is Format with a decimal more, for uncertainties' parts.
func (u Units) Fine(mm float64) string {
	if u == Inches {
		return fmt.Sprintf("%.4f", mm/inch)
	}
	return fmt.Sprintf("%.3f", mm)
}
