//go:build linux

package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The bounds of every call below. They are far above what is needed, so that a
// slow machine passes, and far below what an input without a limit would take.
const (
	longest = 60 * time.Second
	mostRAM = 1 << 20 // KiB of memory in use at once
)

// run is one call of the program that has ended.
type run struct {
	code     int
	out, err string
}

// command is the program with arguments, in a folder.
func command(dir string, args ...string) (*exec.Cmd, *bytes.Buffer, *bytes.Buffer) {
	cmd := exec.Command("setdown", args...)
	cmd.Dir = dir
	var out, err bytes.Buffer
	cmd.Stdout, cmd.Stderr = &out, &err
	return cmd, &out, &err
}

// call runs the program and holds it to what is true of every call: it ends in
// time and memory, it never dies of itself, and without GO or NO-GO it says
// nothing where the answer belongs.
func call(t *testing.T, dir string, args ...string) run {
	t.Helper()
	cmd, out, errOut := command(dir, args...)
	require.NoError(t, cmd.Start())
	return end(t, cmd, out, errOut)
}

func end(t *testing.T, cmd *exec.Cmd, out, errOut *bytes.Buffer) run {
	t.Helper()
	late := time.AfterFunc(longest, func() { _ = cmd.Process.Kill() })
	peak := watch(cmd.Process.Pid)
	err := cmd.Wait()
	require.True(t, late.Stop(), "not done after %s", longest)
	var exit *exec.ExitError
	if err != nil {
		require.True(t, errors.As(err, &exit), "%v", err)
	}
	r := run{code: cmd.ProcessState.ExitCode(), out: out.String(), err: errOut.String()}
	require.Contains(t, []int{0, 1, 2, 3}, r.code, "%s", cmd.ProcessState)
	require.Less(t, <-peak, mostRAM, "KiB of memory")
	require.NotContains(t, r.err, "goroutine ", "it broke down")
	if r.code > 1 {
		require.Empty(t, r.out, "no answer, but words where the answer belongs")
		require.NotEmpty(t, r.err)
		require.Less(t, len(r.err), 20_000, "nobody reads so much")
	}
	return r
}

// watch looks again and again at the most memory that a process has held, until
// the process is gone, and then says how much it was in KiB. What the system
// counts at the end would hold the memory of this test as well.
func watch(pid int) <-chan int {
	most := make(chan int, 1)
	go func() {
		last := 0
		for {
			status, err := os.ReadFile(fmt.Sprintf("/proc/%d/status", pid))
			_, line, found := strings.Cut(string(status), "VmHWM:")
			if err != nil || !found {
				most <- last
				return
			}
			fmt.Sscan(line, &last)
			time.Sleep(5 * time.Millisecond)
		}
	}()
	return most
}

func put(t *testing.T, dir, name string, text []byte) {
	t.Helper()
	require.NoError(t, os.WriteFile(filepath.Join(dir, name), text, 0o644))
}

func demo(t *testing.T, name string) []byte {
	t.Helper()
	text, err := os.ReadFile("../../testdata/builds/" + name + ".yaml")
	require.NoError(t, err)
	return text
}

// only demands that a folder holds these files and no others, such as half of an
// output or a temporary file.
func only(t *testing.T, dir string, names ...string) {
	t.Helper()
	entries, err := os.ReadDir(dir)
	require.NoError(t, err)
	got := []string{}
	for _, e := range entries {
		got = append(got, e.Name())
	}
	require.ElementsMatch(t, names, got)
}

// bomb is text in which each of ten aliases stands for nine of the one before.
func bomb() []byte {
	text := "format: setdown/1\na: &a [x, x, x, x, x, x, x, x, x]\n"
	for c := 'b'; c <= 'k'; c++ {
		text += fmt.Sprintf("%c: &%c [%s]\n", c, c, strings.TrimSuffix(strings.Repeat(fmt.Sprintf("*%c, ", c-1), 9), ", "))
	}
	return []byte(text)
}

// build is a build file with n times the same thing in it, numbered.
func build(before, one string, n int, after ...string) []byte {
	text := "format: setdown/1\n" + before
	for i := range n {
		text += fmt.Sprintf(one, i)
	}
	return []byte(text + strings.Join(after, "") + "\n")
}

func nested(open, inner, shut string, n int) string {
	return strings.Repeat(open, n) + inner + strings.Repeat(shut, n)
}

func ruleFile(must string) []byte {
	return []byte("pack: own\nrules:\n  - id: own-rule\n    each: fasteners as bolt\n    must: |\n      " + must +
		"\n    else: stop\n    say: x\n    fix: x\n    why: x\n    basis: common practice\n")
}

// TestInputsTooLarge: what no person writes is refused soon and in plain words.
func TestInputsTooLarge(t *testing.T) {
	var items bytes.Buffer
	items.WriteString("format: setdown/1\nparts:\n")
	for i := range 100_000 {
		fmt.Fprintf(&items, "  p%d: {mass: 1 kg}\n", i)
	}
	var steps bytes.Buffer
	for i := range 7000 {
		fmt.Fprintf(&steps, "%*sa:\n", i/4+2, "")
	}
	all := `["a", "b", "c"].all(%c, `
	loops := ""
	for c := 'p'; c < 'w'; c++ {
		loops += fmt.Sprintf(all, c)
	}
	loops += "p == q" + strings.Repeat(")", 7)
	for name, c := range map[string]struct {
		build, rules []byte
		slow         bool
		want         string
	}{
		"100 MB":                   {build: append([]byte("format: setdown/1\n"), bytes.Repeat([]byte("# x\n"), 25<<20)...), slow: true, want: "car.yaml: the file is over 8 MiB; that is no build file"},
		"100 000 items":            {build: items.Bytes(), slow: true, want: "car.yaml:3:3: the file has more than 20000 items"},
		"12 000 steps":             {build: build("parts: {c: {}}\nsupports: {s: {kind: stand}}\nmoves:\n  m:\n    kind: rest\n    steps:", "\n      - {name: step %d, supports: [s]}", 12_000), want: "car.yaml:308:9: the moves have 12000 steps; at most 300 are judged"},
		"400 parts":                {build: build("parts:", "\n  p%d: {mass: 1 kg}", 400), want: "car.yaml:103:3: the file has 400 parts; at most 100 are computed"},
		"100 castors":              {build: build("dollies: {d: {castors_at: [[0, 0, 0]", ", [%d, 0, 0]", 100, "]}}"), want: "car.yaml:2:11: a dolly with 101 castors; at most 16 are computed"},
		"100 supports":             {build: build("supports: {t: {kind: stand}", ", s%d: {kind: stand}", 100, "}\nmoves: {m: {kind: rest, steps: [{name: a, supports: [s0, s1, s2, s3, s4, s5, s6, s7, s8, s9, s10, s11, s12, s13, s14, s15, s16]}]}}"), want: "a step with 17 supports; at most 16 are computed"},
		"aliases of aliases":       {build: bomb(), want: "car.yaml:2:23: the aliases in this file expand to more than 10000 values"},
		"10 000 lists deep":        {build: []byte("format: setdown/1\nparts: " + nested("[", "", "]", 10_000)), want: "blocks are nested more than 32 deep"},
		"10 000 maps deep":         {build: []byte("format: setdown/1\nparts: " + nested("{a: ", "1", "}", 10_000)), want: "blocks are nested more than 32 deep"},
		"steps to the right":       {build: append([]byte("format: setdown/1\nparts:\n"), steps.Bytes()...), want: "car.yaml:"},
		"rules of 100 MB":          {rules: bytes.Repeat([]byte("# x\n"), 25<<20), slow: true, want: "own.yaml: the file is over 1 MiB; that is no rule file"},
		"rules with aliases":       {rules: bomb(), want: "a rule file has no anchors or aliases"},
		"rules 10 000 deep":        {rules: []byte("pack: own\nrules: " + nested("[", "", "]", 10_000)), want: "own.yaml:2:"},
		"loops inside loops":       {rules: ruleFile(loops), want: "own.yaml:6:"},
		"a loop over all items":    {rules: ruleFile("items.all(a, items.all(b, items.all(c, a == b)))"), want: "own.yaml:6:"},
		"10 000 brackets":          {rules: ruleFile(nested("(", "true", ")", 10_000)), want: "own.yaml:6:"},
		"10 000 terms":             {rules: ruleFile(strings.Repeat("bolt.carrying && ", 10_000) + "true"), want: "own.yaml:6:"},
		"10 000 times not":         {rules: ruleFile(nested("!", "bolt.carrying", "", 10_000)), want: "own.yaml:6:"},
		"a text a million long":    {build: []byte("format: setdown/1\nvehicle: {name: " + strings.Repeat("x", 1_000_000) + "}\n"), want: "car.yaml:2:17:"},
		"a number a million long":  {build: []byte("format: setdown/1\nparts: {a: {mass: " + strings.Repeat("9", 1_000_000) + " kg}}\n"), want: "car.yaml:2:19:"},
		"a heading a million long": {build: []byte("format: setdown/1\n" + strings.Repeat("x", 1_000_000) + ": 1\n"), want: "car.yaml:2:1"},
	} {
		t.Run(name, func(t *testing.T) {
			if c.slow && testing.Short() {
				t.Skip("slow")
			}
			t.Parallel()
			dir := t.TempDir()
			args := []string{"check", "car.yaml", "--on", "2026-11-25", "-o", "out.html", "-f", "html"}
			files := []string{"car.yaml"}
			if c.build == nil {
				c.build = demo(t, "checklist-mended")
				put(t, dir, "own.yaml", c.rules)
				args, files = append(args, "--rules", "own.yaml"), append(files, "own.yaml")
			}
			put(t, dir, "car.yaml", c.build)
			r := call(t, dir, args...)
			assert.Equal(t, 2, r.code)
			assert.Contains(t, r.err, c.want)
			only(t, dir, files...)
		})
	}
}

// TestWhatIsNoFile: what cannot be read or written is said in plain words.
func TestWhatIsNoFile(t *testing.T) {
	dir := t.TempDir()
	put(t, dir, "car.yaml", demo(t, "checklist-mended"))
	for name, c := range map[string]struct {
		args []string
		code int
		want string
	}{
		"a folder":              {[]string{"check", "."}, 2, ".: this is a folder, not a build file"},
		"a folder of rules":     {[]string{"check", "car.yaml", "--rules", "."}, 2, ".: this is a folder, not a rule file"},
		"no rules":              {[]string{"check", "car.yaml", "--rules", "none.yaml"}, 2, "none.yaml: there is no such file"},
		"a bad disk":            {[]string{"check", "/proc/self/mem"}, 2, "/proc/self/mem: the file cannot be read: input/output error"},
		"a file without end":    {[]string{"check", "/dev/zero"}, 2, "/dev/zero: this is a device, not a build file"},
		"nothing":               {[]string{"check", "/dev/null"}, 2, "/dev/null: this is a device, not a build file"},
		"no folder to write to": {[]string{"check", "car.yaml", "-o", "none/out.txt"}, 2, "none/out.txt cannot be written: there is no folder none"},
		"a file as a folder":    {[]string{"check", "car.yaml", "-o", "car.yaml/out.txt"}, 3, "car.yaml/out.txt was not written: not a directory"},
		"output to a folder":    {[]string{"check", "car.yaml", "-o", "."}, 2, ". is a folder; name a file in it"},
		"output to a full disk": {[]string{"check", "car.yaml", "-o", "/dev/full"}, 3, "/dev/full was not written: no space left on device"},
		"no folder for a start": {[]string{"new", "none/car.yaml"}, 2, "none/car.yaml"},
	} {
		t.Run(name, func(t *testing.T) {
			r := call(t, dir, append(c.args, "--on", "2026-11-25")[:len(c.args)+2*min(1, strings.Count(c.args[0], "check"))]...)
			assert.Equal(t, c.code, r.code, r.err)
			assert.Contains(t, r.err, c.want)
			only(t, dir, "car.yaml")
		})
	}
	full, err := os.Stat("/dev/full")
	require.NoError(t, err)
	require.False(t, full.Mode().IsRegular(), "a device was replaced by a file")
}

// TestFileOfSomebodyElse runs as nobody, since root may read everything.
func TestFileOfSomebodyElse(t *testing.T) {
	dir := t.TempDir()
	put(t, dir, "car.yaml", demo(t, "checklist-mended"))
	require.NoError(t, os.Chmod(filepath.Join(dir, "car.yaml"), 0))
	cmd, out, errOut := command("", "check", "car.yaml")
	if os.Getuid() == 0 {
		// Nobody may not look into the folders of root: hand him open folders.
		self, err := os.Executable()
		require.NoError(t, err)
		open, err := os.MkdirTemp("", "setdown-limits-")
		require.NoError(t, err)
		t.Cleanup(func() { os.RemoveAll(open) })
		require.NoError(t, os.Chmod(open, 0o755))
		program, err := os.ReadFile(self)
		require.NoError(t, err)
		cmd.Path = filepath.Join(open, "setdown")
		require.NoError(t, os.WriteFile(cmd.Path, program, 0o755))
		dir = filepath.Join(open, "work")
		require.NoError(t, os.Mkdir(dir, 0o755))
		put(t, dir, "car.yaml", nil)
		require.NoError(t, os.Chmod(filepath.Join(dir, "car.yaml"), 0))
		cmd.SysProcAttr = &syscall.SysProcAttr{Credential: &syscall.Credential{Uid: 65534, Gid: 65534}}
	}
	cmd.Dir = dir
	require.NoError(t, cmd.Start())
	r := end(t, cmd, out, errOut)
	assert.Equal(t, 2, r.code)
	assert.Contains(t, r.err, "car.yaml: you have no permission to read this file")
}

// TestFullDisk: an answer that could not be written whole is not there at all.
func TestFullDisk(t *testing.T) {
	t.Run("no file may grow", func(t *testing.T) {
		for _, old := range []string{"", "the answer of yesterday"} {
			dir := t.TempDir()
			put(t, dir, "car.yaml", demo(t, "checklist-mended"))
			files := []string{"car.yaml"}
			if old != "" {
				put(t, dir, "out.html", []byte(old))
				files = append(files, "out.html")
			}
			cmd := exec.Command("sh", "-c", "ulimit -f 1; exec setdown check car.yaml --on 2026-11-25 -f html -o out.html")
			cmd.Dir = dir
			var out, errOut bytes.Buffer
			cmd.Stdout, cmd.Stderr = &out, &errOut
			require.NoError(t, cmd.Start())
			r := end(t, cmd, &out, &errOut)
			assert.Equal(t, 3, r.code, r.err)
			assert.Contains(t, r.err, "and this is no answer: out.html was not written: file too large")
			only(t, dir, files...)
			if old != "" {
				kept, err := os.ReadFile(filepath.Join(dir, "out.html"))
				require.NoError(t, err)
				assert.Equal(t, old, string(kept))
			}
		}
	})
	dir := t.TempDir()
	put(t, dir, "car.yaml", demo(t, "checklist-mended"))
	for _, args := range [][]string{
		{"check", "car.yaml", "--on", "2026-11-25"},
		{"loads", "car.yaml", "--on", "2026-11-25"},
		{"punch", "car.yaml", "--on", "2026-11-25"},
		{"tacks", "car.yaml", "--format", "json"},
		{"rules", "list"},
		{"rules", "show", "stud-nut-fitted"},
		{"schema", "build"},
		{"--help"},
		{"--version"},
	} {
		t.Run(strings.Join(args, " "), func(t *testing.T) {
			full, err := os.OpenFile("/dev/full", os.O_WRONLY, 0)
			require.NoError(t, err)
			defer full.Close()
			cmd, out, errOut := command(dir, args...)
			cmd.Stdout = full
			require.NoError(t, cmd.Start())
			r := end(t, cmd, out, errOut)
			assert.Equal(t, 3, r.code, r.err)
			assert.Contains(t, r.err, "no space left on device")
		})
	}
}

// TestLinksStay: what a name leads to is written, and the name stays as it is.
func TestLinksStay(t *testing.T) {
	dir := t.TempDir()
	put(t, dir, "car.yaml", demo(t, "checklist-mended"))
	put(t, dir, "real.txt", []byte("old"))
	require.NoError(t, os.Symlink("real.txt", filepath.Join(dir, "link.txt")))
	r := call(t, dir, "check", "car.yaml", "--on", "2026-11-25", "-o", "link.txt")
	require.Equal(t, 0, r.code, r.err)
	text, err := os.ReadFile(filepath.Join(dir, "real.txt"))
	require.NoError(t, err)
	assert.Contains(t, string(text), "GO     onto-stands")
	only(t, dir, "car.yaml", "real.txt", "link.txt")
	info, err := os.Lstat(filepath.Join(dir, "link.txt"))
	require.NoError(t, err)
	assert.NotZero(t, info.Mode()&os.ModeSymlink)
}

// document is what the tests below read of the JSON of a check.
type document struct {
	Decision string `json:"decision"`
	Reports  []struct {
		File     string `json:"file"`
		State    string `json:"state"`
		Decision string `json:"decision"`
	} `json:"reports"`
}

func readDocument(t *testing.T, text []byte) document {
	t.Helper()
	var d document
	require.NoError(t, json.Unmarshal(text, &d))
	return d
}

// TestThousandFiles: many files in one call cost what they cost one by one, and
// one that cannot be judged takes the answer away from all.
func TestThousandFiles(t *testing.T) {
	if testing.Short() {
		t.Skip("slow")
	}
	dir := t.TempDir()
	good := demo(t, "checklist-mended")
	for i := range 1000 {
		put(t, dir, fmt.Sprintf("car-%04d.yaml", i), good)
	}
	ask := []string{"check", "car-*.yaml", "--on", "2026-11-25", "-f", "json", "-o", "out.json"}
	hundred := slices.Replace(slices.Clone(ask), 1, 2, "car-05*.yaml")
	out := filepath.Join(dir, "out.json")
	answer := func() document {
		text, err := os.ReadFile(out)
		require.NoError(t, err)
		require.NoError(t, os.Remove(out))
		return readDocument(t, text)
	}

	r := call(t, dir, ask...)
	require.Equal(t, 0, r.code, r.err)
	d := answer()
	require.Len(t, d.Reports, 1000)
	assert.Equal(t, "GO", d.Decision)
	for i, one := range d.Reports {
		require.Equal(t, fmt.Sprintf("car-%04d.yaml", i), one.File)
		require.Equal(t, "GO", one.Decision)
	}

	put(t, dir, "car-0510.yaml", demo(t, "checklist-asfound"))
	r = call(t, dir, hundred...)
	require.Equal(t, 1, r.code, r.err)
	d = answer()
	assert.Equal(t, "NO-GO", d.Decision)
	assert.Equal(t, "NO-GO", d.Reports[10].Decision)

	put(t, dir, "car-0570.yaml", good[:len(good)/2])
	r = call(t, dir, hundred...)
	require.Equal(t, 2, r.code)
	assert.Contains(t, r.err, "car-0570.yaml:")
	assert.NoFileExists(t, out)
}

// TestInterrupted: Ctrl-C ends a call at once, without an answer.
func TestInterrupted(t *testing.T) {
	dir := t.TempDir()
	var files []string
	for i := range 400 {
		files = append(files, fmt.Sprintf("car-%03d.yaml", i))
		put(t, dir, files[i], demo(t, "special-mended"))
	}
	cmd, out, errOut := command(dir, append([]string{"check", "-o", "out.txt"}, files...)...)
	require.NoError(t, cmd.Start())
	time.Sleep(300 * time.Millisecond) // four hundred files take seconds
	began := time.Now()
	require.NoError(t, cmd.Process.Signal(os.Interrupt))
	r := end(t, cmd, out, errOut)
	assert.Less(t, time.Since(began), 10*time.Second)
	assert.Equal(t, 3, r.code)
	assert.Equal(t, "setdown failed, and this is no answer: it was interrupted before it was finished\n", r.err)
	only(t, dir, files...)
}

// TestFileThatChanges saves one of many files over and over while they are read.
// Whatever is caught of it, GO is only said of the state that is fit.
func TestFileThatChanges(t *testing.T) {
	if testing.Short() {
		t.Skip("slow")
	}
	dir := t.TempDir()
	fit, unfit := demo(t, "checklist-mended"), demo(t, "checklist-asfound")
	ask := []string{"check", "car-*.yaml", "--on", "2026-11-25", "-f", "json"}
	put(t, dir, "car-05.yaml", fit)
	r := call(t, dir, ask...)
	require.Equal(t, 0, r.code, r.err)
	state := readDocument(t, []byte(r.out)).Reports[0].State
	for i := range 10 {
		put(t, dir, fmt.Sprintf("car-%02d.yaml", i), fit)
	}
	quit, saved := make(chan struct{}), make(chan struct{})
	go func() {
		defer close(saved)
		for i := 0; ; i++ {
			select {
			case <-quit:
				return
			default:
			}
			text := [][]byte{fit, unfit}[i%2]
			file, err := os.Create(filepath.Join(dir, "car-05.yaml"))
			if assert.NoError(t, err) {
				// In halves, as some editors do.
				_, _ = file.Write(text[:len(text)/2])
				time.Sleep(time.Millisecond)
				_, _ = file.Write(text[len(text)/2:])
				file.Close()
			}
			time.Sleep(2 * time.Millisecond)
		}
	}()
	seen := map[int]int{}
	for range 20 {
		r := call(t, dir, ask...)
		seen[r.code]++
		switch r.code {
		case 0, 1:
			one := readDocument(t, []byte(r.out)).Reports[5]
			assert.Equal(t, one.State == state, one.Decision == "GO")
		default:
			assert.Equal(t, 2, r.code)
			assert.Contains(t, r.err, "car-05.yaml")
		}
	}
	close(quit)
	<-saved
	t.Logf("exit codes: %v", seen)
	assert.Greater(t, len(seen), 1, "the file never changed")
}
