package signoff

import (
	"fmt"
	"os"
	"os/exec"
	"os/signal"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The tests below start this test program again as another process. What that
// one does stands in SIGNOFF_TEST_DO, and the folder in SIGNOFF_TEST_DIR.
func TestMain(m *testing.M) {
	do, dir := os.Getenv("SIGNOFF_TEST_DO"), os.Getenv("SIGNOFF_TEST_DIR")
	switch do {
	case "":
		os.Exit(m.Run())
	case "write forever", "write forever without links", "write twenty":
		link := os.Link
		if do == "write forever without links" {
			link = func(string, string) error { return syscall.EPERM }
		}
		for i := 0; do != "write twenty" || i < 20; i++ {
			if _, err := write(dir, childRecord(), link); err != nil {
				exit(err)
			}
		}
		exit(nil)
	case "disk full", "disk full without links":
		// No file may grow past 256 bytes: the same end of a write as a full disk.
		signal.Ignore(syscall.SIGXFSZ)
		limit := syscall.Rlimit{Cur: 256, Max: 256}
		if err := syscall.Setrlimit(syscall.RLIMIT_FSIZE, &limit); err != nil {
			exit(fmt.Errorf("test: %w", err))
		}
		if do == "disk full without links" {
			exit(writeNew(filepath.Join(dir, "0001-onto-stands-2026-11-20.yaml"), make([]byte, 4096)))
		}
		_, err := Write(dir, childRecord())
		exit(err)
	case "read-only":
		// Root may write anywhere, so become nobody, inside a folder that is nobody's.
		err := os.Chdir(dir)
		if err == nil && os.Getuid() == 0 {
			err = syscall.Setuid(65534)
		}
		if err != nil {
			exit(fmt.Errorf("test: %w", err))
		}
		if _, err = Write("new.signoffs", childRecord()); err == nil {
			exit(fmt.Errorf("test: a folder was made in a read-only folder"))
		}
		_, err = Write("car.signoffs", childRecord())
		exit(err)
	}
}

func exit(err error) {
	if err != nil {
		fmt.Println(err)
		os.Exit(1)
	}
	os.Exit(0)
}

// childRecord is long enough to take some time to write.
func childRecord() Record {
	r := Record{Move: "onto-stands", By: "R. T.", File: "car.yaml", StateHash: "a", RulesHash: "b", Version: "1"}
	_ = r.On.UnmarshalText([]byte("2026-11-20"))
	for i := range 500 {
		r.State = append(r.State, fmt.Sprintf("welds.w%04d.found.made = full", i))
	}
	return r
}

func child(t *testing.T, do, dir string) *exec.Cmd {
	t.Helper()
	self, err := os.Executable()
	require.NoError(t, err)
	cmd := exec.Command(self)
	cmd.Env = append(os.Environ(), "SIGNOFF_TEST_DO="+do, "SIGNOFF_TEST_DIR="+dir)
	return cmd
}

func TestManyProcessesAtOnce(t *testing.T) {
	const processes = 4
	dir := filepath.Join(t.TempDir(), "car.signoffs")
	var all []*exec.Cmd
	for range processes {
		cmd := child(t, "write twenty", dir)
		require.NoError(t, cmd.Start())
		all = append(all, cmd)
	}
	for _, cmd := range all {
		assert.NoError(t, cmd.Wait())
	}
	assert.Equal(t, processes*20, countSound(t, dir))
	assertNoTemp(t, dir)
}

// A writer that is killed at any moment leaves whole records and perhaps a
// temporary file, which nobody takes for a record.
func TestKilledWhileWriting(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "car.signoffs")
	for i := range 15 {
		cmd := child(t, "write forever", dir)
		require.NoError(t, cmd.Start())
		// Uneven waits, so that the blow falls at different places.
		time.Sleep(time.Duration(30+i*i) * time.Millisecond)
		require.NoError(t, cmd.Process.Kill())
		assert.Error(t, cmd.Wait())
	}
	require.NotZero(t, countSound(t, dir), "the writers were killed before they wrote anything")
	r, _, remarks := Latest(filepath.Join(filepath.Dir(dir), "car.yaml"), "onto-stands", today)
	require.Empty(t, remarks)
	assert.Len(t, r.State, 500)
	_, err := Write(dir, record(t))
	assert.NoError(t, err)
}

// Without links a killed writer may leave half a record under its final name.
// Then Latest names it; it never passes for a sign-off.
func TestKilledWhileWritingWithoutLinks(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "car.signoffs")
	for i := range 10 {
		cmd := child(t, "write forever without links", dir)
		require.NoError(t, cmd.Start())
		time.Sleep(time.Duration(30+i*i) * time.Millisecond)
		require.NoError(t, cmd.Process.Kill())
		assert.Error(t, cmd.Wait())
	}
	r, path, remarks := Latest(filepath.Join(filepath.Dir(dir), "car.yaml"), "onto-stands", today)
	for _, remark := range remarks {
		assert.Regexp(t, `car\.signoffs/\d{4}-onto-stands-2026-11-20\.yaml: `, remark.Error())
	}
	require.NotEmpty(t, path)
	assert.Len(t, r.State, 500)
}

func TestDiskFull(t *testing.T) {
	for _, do := range []string{"disk full", "disk full without links"} {
		dir := t.TempDir()
		out, err := child(t, do, dir).CombinedOutput()
		require.Error(t, err, do)
		assert.Contains(t, string(out), "file too large")
		assertEmpty(t, dir)
	}
}

func TestReadOnlyFolder(t *testing.T) {
	dir := t.TempDir()
	records := filepath.Join(dir, "car.signoffs")
	require.NoError(t, os.Mkdir(records, 0o755))
	require.NoError(t, os.Chmod(records, 0o555))
	require.NoError(t, os.Chmod(dir, 0o555))
	t.Cleanup(func() {
		_ = os.Chmod(dir, 0o755)
		_ = os.Chmod(records, 0o755)
	})
	// The coverage of the tests, if it is measured, has its own word on a folder that nobody
	// may write to, on the other channel.
	out, err := child(t, "read-only", dir).Output()
	require.Error(t, err)
	assert.Equal(t, "the record cannot be written into car.signoffs: permission denied", strings.TrimSpace(string(out)))
	assertEmpty(t, records)
}
