package svg

import "strings"

// Palette is the colours of a picture or page on one kind of paper. What is written in
// Ink, Quiet or Bad stands out from Paper by a contrast of at least 7 to 1; Line is for
// lines alone and stands out by 3 to 1.
type Palette struct {
	Paper, Ink, Quiet, Line, Field, Mid, Bad, Fill, OnFill, Good string
}

// Light is ink on workshop paper, Dark the same for a screen at night, Print black on
// white with two greys that a printer may lose.
var (
	Light = Palette{Paper: "#fbf9f2", Ink: "#16150f", Quiet: "#4c493f", Line: "#7d776a", Field: "#f0ecdf", Mid: "#d9d3c2", Bad: "#9a1a1a", Fill: "#9a1a1a", OnFill: "#fffaf2", Good: "#1d5a2c"}
	Dark  = Palette{Paper: "#171815", Ink: "#f1ede0", Quiet: "#bdb7a7", Line: "#8a8578", Field: "#24251f", Mid: "#45443a", Bad: "#ff9a8c", Fill: "#8e1c1c", OnFill: "#fff6ee", Good: "#8ed3a0"}
	Print = Palette{Paper: "#ffffff", Ink: "#000000", Quiet: "#222222", Line: "#666666", Field: "#f3f3f3", Mid: "#dcdcdc", Bad: "#000000", Fill: "#000000", OnFill: "#ffffff", Good: "#000000"}
)

// Variables is the palette as the properties that the style sheets use.
func (p Palette) Variables() string {
	return strings.NewReplacer("PAPER", p.Paper, "INK", p.Ink, "QUIET", p.Quiet, "LINE", p.Line, "FIELD", p.Field, "MID", p.Mid, "BAD", p.Bad, "FILL", p.Fill, "ONTO", p.OnFill, "GOOD", p.Good).Replace(
		"--paper:PAPER;--ink:INK;--quiet:QUIET;--line:LINE;--field:FIELD;--mid:MID;--bad:BAD;--fill:FILL;--on-fill:ONTO;--good:GOOD")
}

// Colours sets the palettes on the root of a page, or of a picture that stands alone.
func Colours() string {
	return ":root{" + Light.Variables() + "}\n@media screen and (prefers-color-scheme:dark){:root{" + Dark.Variables() + "}}\n@media print{:root{" + Print.Variables() + "}}\n"
}

// Style is the style sheet of every picture. One weight of line has one meaning; what is
// wrong is marked by shape and by a number and word, never by colour alone.
const Style = `.sd text{font:12.5px "Gill Sans","Segoe UI",Optima,Candara,"DejaVu Sans",sans-serif;fill:var(--ink);white-space:pre}
.sd .b{font-weight:700}
.sd .q{fill:var(--quiet)}
.sd .mid{text-anchor:middle}
.sd .end{text-anchor:end}
.sd .sheet{fill:var(--paper)}
.sd .frame{fill:var(--field);stroke:var(--line);stroke-width:1;stroke-dasharray:6 3}
.sd .arm{fill:var(--mid);fill-opacity:.6;stroke:var(--ink);stroke-width:2.4;stroke-linejoin:round}
.sd .part{fill:var(--paper);fill-opacity:.7;stroke:var(--ink);stroke-width:1.5;stroke-linejoin:round}
.sd .bar{fill:var(--paper);stroke:var(--ink);stroke-width:1.3;stroke-linejoin:round}
.sd .eye{fill:var(--paper);stroke:var(--ink);stroke-width:1.4}
.sd .sup{fill:var(--paper);stroke:var(--ink);stroke-width:1.6;stroke-linejoin:round}
.sd .tyre{fill:none;stroke:var(--line);stroke-width:1.4}
.sd .tyre-off{fill:none;stroke:var(--line);stroke-width:1;stroke-dasharray:2 3}
.sd .hub{fill:var(--paper);fill-opacity:.85;stroke:var(--ink);stroke-width:1.3}
.sd .poly{fill:none;stroke:var(--ink);stroke-width:1.2;stroke-dasharray:10 3 2 3}
.sd .thin{fill:none;stroke:var(--ink);stroke-width:.8}
.sd .pen{fill:none;stroke:var(--ink);stroke-width:1.2}
.sd .dash{stroke-dasharray:4 3}
.sd .band{fill:var(--mid);fill-opacity:.6}
.sd .plate{fill:var(--fill);stroke:var(--bad);stroke-width:2}
.sd .frame-go{fill:none;stroke:var(--good);stroke-width:2}
.sd .on{fill:var(--on-fill)}
.sd .solid{fill:var(--ink)}
.sd .ring{fill:var(--paper);stroke:var(--ink);stroke-width:1.4}
.sd .mk{fill:var(--paper);stroke:var(--bad);stroke-width:2.2;stroke-linejoin:round}
.sd .mkx{fill:none;stroke:var(--bad);stroke-width:2.2}
.sd .mks{fill:var(--bad)}
`
