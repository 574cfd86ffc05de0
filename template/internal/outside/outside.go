// Package outside runs the programs that tests measure our files with.
// Without the program a test is skipped, but not where CI is set.
package outside

import (
	"encoding/json"
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
)

// Run runs a program and returns its standard output.
func Run(t *testing.T, name string, args ...string) []byte {
	t.Helper()
	if _, err := exec.LookPath(name); err != nil {
		without(t, name)
	}
	out, err := exec.Command(name, args...).Output()
	if err != nil {
		var exit *exec.ExitError
		if errors.As(err, &exit) {
			t.Fatalf("%s: %v\n%s%s", name, err, out, exit.Stderr)
		}
		t.Fatalf("%s: %v", name, err)
	}
	return out
}

// Python runs a script in Debian's Python, which must have the module, and
// decodes the JSON it prints.
func Python(t *testing.T, module, script string, into any, args ...string) {
	t.Helper()
	const py = "/usr/bin/python3"
	if err := exec.Command(py, "-c", "import "+module).Run(); err != nil {
		without(t, "python3-"+module)
	}
	out := Run(t, py, append([]string{"-c", script}, args...)...)
	if err := json.Unmarshal(out, into); err != nil {
		t.Fatalf("%v in %s", err, out)
	}
}

// File writes a file for a program to read, gone after the test.
func File(t *testing.T, name string, b []byte) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), name)
	if err := os.WriteFile(path, b, 0o666); err != nil {
		t.Fatal(err)
	}
	return path
}

func without(t *testing.T, what string) {
	t.Helper()
	if os.Getenv("CI") != "" {
		t.Fatalf("%s is not installed", what)
	}
	t.Skipf("%s is not installed", what)
}
