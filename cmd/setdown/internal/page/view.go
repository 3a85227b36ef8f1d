package page

import (
	"cmp"
	"slices"
	"strings"

	"setdown/model"
	"setdown/model/looks"
	"setdown/reports/plain"
	"setdown/reports/svg"
	"setdown/rules/ask"
	"setdown/rules/check"
	"setdown/rules/verdict"
)

// stand is what every answer to a page says of itself.
type stand struct {
	Run     string `json:"run"`
	Version int    `json:"version"`
	Book    string `json:"book"`
	Now     int64  `json:"now"` // ms, by the server's clock
	Page    string `json:"page"`
	Vehicle string `json:"vehicle,omitempty"`
	Today   string `json:"today,omitempty"`
	// Broken says why nothing can be judged. Then there is no verdict beside it.
	Broken string   `json:"broken,omitempty"`
	People []string `json:"people,omitempty"`
}

// boardView is all moves, in the order of the file.
type boardView struct {
	stand
	Lead  string    `json:"lead,omitempty"`
	First string    `json:"first,omitempty"` // the move to open with
	Moves []rowView `json:"moves,omitempty"`
}

type rowView struct {
	ID    string `json:"id"`
	Title string `json:"title"`
	Word  string `json:"word"`
	Line  string `json:"line"`
}

// moveView is one move: its sheet, and the round before it.
type moveView struct {
	stand
	ID       string      `json:"id,omitempty"`
	Title    string      `json:"title,omitempty"`
	Word     string      `json:"word,omitempty"`
	Strip    string      `json:"strip,omitempty"`
	Bold     string      `json:"bold,omitempty"`
	Rest     string      `json:"rest,omitempty"`
	Until    string      `json:"until,omitempty"` // how long a GO stays one
	Picture  string      `json:"picture,omitempty"`
	Jobs     string      `json:"jobs,omitempty"`
	Stops    []stopView  `json:"stops,omitempty"`
	After    []string    `json:"after,omitempty"` // what only follows from the stops, and what fails
	Cautions []string    `json:"cautions,omitempty"`
	Waived   []string    `json:"waived,omitempty"`
	Buy      []string    `json:"buy,omitempty"`
	First    []string    `json:"first,omitempty"`   // what the loads wait for, and what may follow
	Written  []string    `json:"written,omitempty"` // what no look answers
	Usual    []string    `json:"usual,omitempty"`
	Places   []placeView `json:"places,omitempty"`
	Seen     []seenView  `json:"seen,omitempty"` // today, newest first
}

type stopView struct {
	Number int    `json:"number"`
	Head   string `json:"head"`
	Fix    string `json:"fix,omitempty"`
}

// placeView is where one stands, and what is asked there.
type placeView struct {
	ID        string         `json:"id"`
	Name      string         `json:"name"`
	Picture   string         `json:"picture,omitempty"`
	May       bool           `json:"may,omitempty"` // nobody knows yet whether it matters
	Questions []questionView `json:"questions"`
}

// questionView is one question. Names are of single things: a group stands there by its
// members.
type questionView struct {
	Key    string            `json:"key"` // the same as long as it asks the same
	What   string            `json:"what"`
	Item   string            `json:"item"`
	Where  string            `json:"where"`
	Names  []nameView        `json:"names"`
	Fact   string            `json:"fact,omitempty"`
	Lines  []lineView        `json:"lines"`
	Open   []string          `json:"open,omitempty"` // what is asked by itself
	Each   bool              `json:"each,omitempty"`
	Blind  bool              `json:"blind,omitempty"` // a second look
	Was    []string          `json:"was,omitempty"`
	Job    bool              `json:"job,omitempty"` // found wrong today: work, and asked again when it is done
	Faults []faultView       `json:"faults,omitempty"`
	Prints map[string]string `json:"prints,omitempty"`
}

type nameView struct {
	Name  string `json:"name"` // as it is sent
	Group string `json:"group,omitempty"`
	Size  int    `json:"size,omitempty"` // of the group
	Say   string `json:"say"`            // as it is read
}

type lineView struct {
	Fact        string   `json:"fact"`
	Ask         string   `json:"ask"`
	Text        string   `json:"text"` // with its good answer
	Words       []string `json:"words,omitempty"`
	Good        []string `json:"good,omitempty"` // those of the words that are no fault
	Pair        bool     `json:"pair,omitempty"`
	Free        bool     `json:"free,omitempty"` // free words
	MayNotApply bool     `json:"may_not_apply,omitempty"`
	Unit        string   `json:"unit,omitempty"`
	Other       string   `json:"other,omitempty"` // the unit of the other system
	Drawn       string   `json:"drawn,omitempty"`
	Still       string   `json:"still,omitempty"` // the word that 'good' says again
}

type faultView struct {
	Fact  string   `json:"fact"`
	Words string   `json:"words"`
	Say   string   `json:"say,omitempty"` // empty where a figure is asked for
	Unit  string   `json:"unit,omitempty"`
	Pair  bool     `json:"pair,omitempty"`
	Of    []string `json:"of,omitempty"` // the things that can have it; empty where all can
}

// seenView is a look of today. What others said stands on nobody's page: a second pair of
// eyes has to be one.
type seenView struct {
	When string `json:"when"`
	By   string `json:"by"`
	Text string `json:"text"`
	said string // for who said it
}

func (s *Server) stand(state *state) stand {
	v := stand{Run: s.run, Version: state.version, Book: s.key, Now: s.book.Now().UnixMilli(), Page: s.version}
	if state.build != nil {
		v.People = lines(state.build.People)
	}
	if state.err != nil {
		v.Broken = plain.Lines(state.err.Error())
	} else {
		v.Vehicle, v.Today = plain.Line(state.report.Vehicle), state.report.Today.String()
	}
	return v
}

func (s *Server) boardView(state *state) boardView {
	v := boardView{stand: s.stand(state)}
	if state.err != nil {
		return v
	}
	v.First = s.first
	v.Lead = plain.BoardLead(state.report)
	for i := range state.report.Moves {
		m := &state.report.Moves[i]
		v.Moves = append(v.Moves, rowView{ID: m.ID, Title: plain.Line(plain.Capital(cmp.Or(m.Title, plain.Spoken(m.ID)))), Word: string(m.Decision), Line: plain.Line(plain.State(m))})
	}
	return v
}

// moveView is a move as one person is shown it.
func (s *Server) moveView(state *state, by string) moveView {
	if state.err != nil {
		return moveView{stand: s.stand(state)}
	}
	v := state.view()
	v.stand = s.stand(state)
	second := places(ofOthers(state, by), state.round, func(string) string { return "" })
	v.Places = slices.Clone(v.Places)
	for _, p := range second {
		p.ID, p.Name = "second "+p.ID, "Second look: "+p.Name
		v.Places = append(v.Places, p)
	}
	v.Seen = slices.Clone(v.Seen)
	for i := range v.Seen {
		if row := &v.Seen[i]; row.By == by {
			row.Text += ": " + row.said
		}
	}
	return v
}

// newMoveView is what of a move every page shows.
func newMoveView(state *state) moveView {
	var v moveView
	r, m, round := state.report, &state.report.Moves[0], state.round
	sheet := plain.NewSheet(r, m, plain.Called)
	v.ID, v.Title, v.Word = m.ID, plain.Line(plain.Capital(sheet.Title)), string(m.Decision)
	v.Strip, v.Bold, v.Rest = plain.Strip(round), plain.Line(sheet.Bold), plain.Line(sheet.Rest)
	if v.Word == string(verdict.NoGo) {
		v.Jobs = sheet.Jobs
	}
	for _, stop := range sheet.Stops {
		v.Stops = append(v.Stops, stopView{stop.Number, plain.Line(plain.Capital(stop.Name()) + ": " + stop.Gist()), plain.Line(stop.Fix)})
	}
	v.Until = plain.Line(sheet.Until)
	v.After = lines(sheet.Waits)
	if sheet.Fails != "" {
		v.After = append(v.After, plain.Line(sheet.Fails))
	}
	v.Cautions, v.Waived, v.Buy, v.Written, v.Usual = lines(sheet.Cautions), lines(sheet.Waived), lines(sheet.Buy), lines(plain.ToWrite(round)), plain.Usual
	if first, then := plain.First(round); then != "" {
		for _, look := range first {
			v.First = append(v.First, plain.Line(look.Name+": "+plain.Questions(look)))
		}
		v.First, v.Written = append(v.First, then), nil
	}
	for _, look := range sheet.Soft {
		v.Cautions = append(v.Cautions, plain.Line(look.Name+": "+plain.Questions(look)))
	}
	var pictures func(place string) string
	v.Picture, pictures = draw(r, m, sheet)
	v.Places = places(round.Screens, round, pictures)
	v.Seen = seen(state)
	return v
}

// draw makes the picture of the whole vehicle, and of a place when it is asked for it;
// nothing where nothing has a place.
func draw(r *verdict.Report, m *verdict.Move, sheet plain.Sheet) (whole string, place func(string) string) {
	place = func(string) string { return "" }
	if len(m.Steps) == 0 {
		return "", place
	}
	step := svg.Step(m)
	if step.Outline == nil && !slices.ContainsFunc(step.Supports, func(r verdict.Reaction) bool { return r.At != nil }) {
		return "", place
	}
	marks, figures := svg.Marks(sheet.Stops, step), plain.Figures(r.Units)
	drawn := svg.Places(step)
	return svg.Overview(step, marks, figures).Inline(), func(name string) string {
		if !slices.Contains(drawn, name) {
			return ""
		}
		return svg.Corner(step, name, marks, figures).Inline()
	}
}

// places puts the screens of a round together by where one stands for them, in the order
// of the round.
func places(screens []verdict.Screen, round *verdict.Round, picture func(string) string) []placeView {
	var list []placeView
	for i := range screens {
		screen := &screens[i]
		id, name := cmp.Or(screen.Place, screen.Questions[0].Kind), plain.Where(screen)
		switch {
		case screen.Spot == standing:
			id, name = standing, "What it stands on"
		case screen.Place != "":
			name = plain.Capital(plain.Spoken(plain.Line(screen.Place)))
		}
		if len(list) == 0 || list[len(list)-1].ID != id {
			list = append(list, placeView{ID: id, Name: name, Picture: picture(screen.Place), May: screen.May})
		}
		p := &list[len(list)-1]
		for j := range screen.Questions {
			p.Questions = append(p.Questions, question(screen, &screen.Questions[j], round))
		}
	}
	return list
}

// ofOthers are the second looks for a person: at what somebody else has seen.
func ofOthers(state *state, by string) []verdict.Screen {
	if !slices.Contains(state.build.People, by) {
		return nil
	}
	var list []verdict.Screen
	for _, screen := range state.round.Second {
		screen.Questions = slices.DeleteFunc(slices.Clone(screen.Questions), func(q verdict.Question) bool { return q.First == by })
		if len(screen.Questions) > 0 {
			list = append(list, screen)
		}
	}
	return list
}

// standing is the spot of what the vehicle stands on.
const standing = "supports"

func question(screen *verdict.Screen, q *verdict.Question, round *verdict.Round) questionView {
	v := questionView{Where: plain.Line(plain.Where(screen)), Item: q.Item, Fact: q.Fact, Each: q.Each, Blind: q.First != "", Prints: map[string]string{}}
	var ids []string
	for _, of := range q.Of {
		id, _ := looks.SplitMember(of.ID)
		ids = append(ids, of.ID)
		if of.Print != "" {
			v.Prints[id] = of.Print
		}
	}
	for _, name := range plain.Members(q) {
		id, _ := looks.SplitMember(name)
		one := nameView{Name: name, Say: spoken(name)}
		for _, of := range q.Of {
			if of.ID == id && of.Members > 1 {
				one.Group, one.Size = id, of.Members
			}
		}
		v.Names = append(v.Names, one)
	}
	v.Key = strings.Join(append([]string{q.Kind, q.Fact}, ids...), " ")
	if v.Blind {
		v.Key = "second " + v.Key
	}
	v.What = plain.Capital(v.Names[0].Say)
	if len(v.Names) > 1 {
		v.What = plain.Count(len(v.Names), q.Item, q.Item+"s")
	}
	for _, l := range q.Lines {
		v.Lines = append(v.Lines, line(l))
	}
	for _, fact := range q.Open {
		v.Open = append(v.Open, plain.Spoken(fact))
	}
	for _, was := range q.Was {
		v.Was = append(v.Was, plain.Line(plain.Was(was)))
		v.Job = v.Job || !q.Around && strings.HasPrefix(was.When, round.Today.String())
	}
	for _, f := range plain.Faults(q) {
		l := q.Line(f.Fact)
		v.Faults = append(v.Faults, faultView{Fact: f.Fact, Words: plain.Line(l.Ask + " " + f.Say), Say: f.Say, Unit: l.Unit, Pair: l.Pair, Of: l.Of})
	}
	return v
}

// thingsPlace is what can be looked at in one place.
type thingsPlace struct {
	Name  string     `json:"name"`
	Names []nameView `json:"names"`
}

func thingsView(b *model.Build) []thingsPlace {
	var list []thingsPlace
	for _, screen := range ask.Things(b) {
		p := thingsPlace{Name: cmp.Or(plain.Where(&screen), "The vehicle and around it")}
		for i := range screen.Questions {
			for _, name := range plain.Members(&screen.Questions[i]) {
				p.Names = append(p.Names, nameView{Name: name, Say: spoken(name)})
			}
		}
		list = append(list, p)
	}
	return list
}

// thingView is a question of which only the faults are said.
func thingView(q *verdict.Question) questionView {
	v := question(&verdict.Screen{Spot: q.Item}, q, &verdict.Round{})
	v.Lines = nil
	// Of a name or a number nobody can say that it is wrong but who reads the drawing.
	v.Faults = slices.DeleteFunc(v.Faults, func(f faultView) bool { return f.Say == "" && f.Unit == "" })
	return v
}

// spoken is the name of a thing as it is read: 'bolts{3}' as 'bolts 3'.
func spoken(name string) string {
	return plain.Line(strings.NewReplacer("{", " ", "}", "").Replace(plain.Spoken(name)))
}

// others are the units that a tape or wrench of the other system has.
var others = map[string]string{"N·m": "ft·lbf", "ft·lbf": "N·m", "mm": "in", "in": "mm", "kg": "lb", "lb": "kg", "mm/m": "in/ft", "in/ft": "mm/m"}

func line(l verdict.Line) lineView {
	v := lineView{Fact: l.Fact, Ask: l.Ask, Text: plain.Line(plain.CardLine(l)), Words: l.Words, Pair: l.Pair, Free: l.Text, MayNotApply: l.MayNotApply, Unit: l.Unit, Other: others[l.Unit], Drawn: plain.Line(cmp.Or(l.Own, l.Drawn)), Still: l.Still}
	for _, word := range l.Words {
		if !slices.Contains(l.Bad, word) {
			v.Good = append(v.Good, word)
		}
	}
	return v
}

// seen lists the looks of the day.
func seen(state *state) []seenView {
	const most = 30
	history, err := check.History(state.build, "")
	if err != nil {
		return nil // a file of the first format has been refused before
	}
	var list []seenView
	for _, l := range slices.Backward(history.Lines) {
		if len(list) == most || !strings.HasPrefix(l.When, state.report.Today.String()) {
			break
		}
		list = append(list, seenView{When: strings.TrimPrefix(l.When, state.report.Today.String()+" "), By: plain.Line(l.By), Text: plain.Line(plain.Names(l.Items)), said: plain.Line(strings.Join(l.Says, ", "))})
	}
	return list
}

func lines(list []string) []string {
	var out []string
	for _, s := range list {
		out = append(out, plain.Line(s))
	}
	return out
}
