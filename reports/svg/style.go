package svg

import "strings"

// Palette is the colours of a picture or page on one kind of paper. Every ink
// stands out from Paper by a contrast of at least 4.5 to 1.
type Palette struct {
	Paper, Ink, Quiet, Bad, Warn, Good string
	Line                               string // of frames and grids, which say nothing
}

// Light is ink on workshop paper; Dark is the same for a screen at night.
var (
	Light = Palette{Paper: "#fbf9f2", Ink: "#1d1c19", Quiet: "#59554a", Bad: "#9a1a1a", Warn: "#734600", Good: "#1d5a2c", Line: "#cdc6b2"}
	Dark  = Palette{Paper: "#1a1b19", Ink: "#ece8db", Quiet: "#b3ad9d", Bad: "#ff9a8c", Warn: "#efbf6d", Good: "#8ed3a0", Line: "#4a483f"}
)

// Style is the style sheet of every picture. Paper is always light.
var Style = shapes + Light.rules() + "@media screen and (prefers-color-scheme:dark){" + Dark.rules() + "}\n"

const shapes = `.sd text{font:12px ui-monospace,SFMono-Regular,Menlo,Consolas,"DejaVu Sans Mono","Liberation Mono",monospace;white-space:pre}
.sd .big{font-size:17px;font-weight:700}
.sd .small{font-size:11px}
.sd .b{font-weight:700}
.sd .part{stroke-width:1.2;stroke-linejoin:round}
.sd .hangs{stroke-dasharray:4 3}
.sd .lead{stroke-width:.7;fill:none}
.sd .thin{stroke-width:.8;fill:none}
.sd .rod{stroke-width:3;fill:none}
.sd .tack{stroke-dasharray:7 4}
.sd .missing{stroke-dasharray:2 5}
.sd .loose{stroke-dasharray:11 4 2 4}
.sd .unrec{stroke-dasharray:4 4;stroke-width:1.6}
.sd .mark{stroke-width:1.6}
.sd .poly{stroke-width:1.4}
.sd .edge{stroke-width:3;fill:none}
`

func (p Palette) rules() string {
	return strings.NewReplacer("PAPER", p.Paper, "INK", p.Ink, "QUIET", p.Quiet, "BAD", p.Bad, "WARN", p.Warn, "GOOD", p.Good, "LINE", p.Line).Replace(
		`.sd .sheet{fill:PAPER}
.sd text{fill:INK}
.sd .quiet{fill:QUIET}
.sd text.bad{fill:BAD}
.sd text.warn{fill:WARN}
.sd text.good{fill:GOOD}
.sd .back{fill:PAPER;fill-opacity:.85}
.sd .part{fill:LINE;fill-opacity:.28;stroke:QUIET}
.sd .lead,.sd .thin{stroke:QUIET}
.sd .rod{stroke:INK}
.sd .rod.tack,.sd .rod.missing,.sd .rod.loose{stroke:BAD}
.sd .rod.unrec{stroke:WARN}
.sd .mark{fill:PAPER;stroke:INK}
.sd .mark.bad{stroke:BAD}
.sd .mark.warn{stroke:WARN}
.sd .solid{fill:INK;stroke:INK}
.sd .poly{fill:GOOD;fill-opacity:.1;stroke:GOOD}
.sd .edge{stroke:BAD}
.sd .query{fill:none;stroke:WARN;stroke-width:1.6}
.sd .cg{stroke:INK;fill:none;stroke-width:1.4}
.sd .spread{stroke:INK;fill:INK;fill-opacity:.12;stroke-dasharray:3 2;stroke-width:1}
`)
}
