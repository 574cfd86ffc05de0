package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
)

// file is one file to be written, whole in memory.
type file struct {
	name string // in the output folder
	data []byte
}

// checkTargets refuses when a file of one of those names stands in the
// folder that we did not make. It looks before any work is done, so that
// nobody waits for a refusal.
func checkTargets(dir string, names []string, force bool) error {
	if st, err := os.Stat(dir); err == nil && !st.IsDir() {
		return fmt.Errorf("%s is a file, not a folder; give another --out", dir)
	}
	if force {
		return nil
	}
	for _, name := range names {
		path := filepath.Join(dir, name)
		st, err := os.Lstat(path)
		switch {
		case errors.Is(err, fs.ErrNotExist):
			continue
		case err != nil:
			return fmt.Errorf("%s cannot be written: %w", path, pathReason(err))
		case st.IsDir():
			return fmt.Errorf("%s is a folder, and a file of that name is to be written; give another --out", path)
		}
		b, err := os.ReadFile(path)
		if err != nil || !isMarked(name, b) {
			return fmt.Errorf("%s is there already and trimscribe did not make it; move it, give another --out, or overwrite it with --force", path)
		}
	}
	return nil
}

// writeAll writes all the files into the folder, or none: each is written
// beside its place first, and moved there when all are. It returns their paths.
func writeAll(dir string, files []file) (paths []string, err error) {
	_, statErr := os.Stat(dir)
	if err := os.MkdirAll(dir, 0o777); err != nil {
		return nil, fmt.Errorf("the folder %s cannot be made: %w", dir, pathReason(err))
	}
	var parts []string
	defer func() {
		for _, part := range parts { // those moved to their places are no longer there
			os.Remove(part)
		}
		if err != nil && errors.Is(statErr, fs.ErrNotExist) {
			os.Remove(dir) // ours, and empty again
		}
	}()
	for _, f := range files {
		part, err := writePart(dir, f)
		if part != "" {
			parts = append(parts, part)
		}
		if err != nil {
			return nil, fmt.Errorf("%s cannot be written: %w", filepath.Join(dir, f.name), pathReason(err))
		}
	}
	for i, f := range files {
		path := filepath.Join(dir, f.name)
		if err := os.Rename(parts[i], path); err != nil {
			for _, made := range paths {
				os.Remove(made)
			}
			return nil, fmt.Errorf("%s cannot be written: %w", path, pathReason(err))
		}
		paths = append(paths, path)
	}
	return paths, nil
}

// writePart writes a file under a passing name. When it fails, the name tells
// what is to be removed.
func writePart(dir string, f file) (part string, err error) {
	part = filepath.Join(dir, fmt.Sprintf(".%s.%d.part", f.name, os.Getpid()))
	t, err := os.OpenFile(part, os.O_WRONLY|os.O_CREATE|os.O_TRUNC, 0o666)
	if err != nil {
		return "", err
	}
	_, err = t.Write(f.data)
	return part, errors.Join(err, t.Close())
}

// pathReason takes the operation and the path off a file error: our sentence
// has them.
func pathReason(err error) error {
	var pe *fs.PathError
	var le *os.LinkError
	switch {
	case errors.As(err, &pe):
		return pe.Err
	case errors.As(err, &le):
		return le.Err
	}
	return err
}

// baseName is a photo's name without its folder and its ending: the first
// part of its files' names.
func baseName(photo string) string {
	name := filepath.Base(photo)
	return strings.TrimSuffix(name, filepath.Ext(name))
}

// photoNames lists the photos' names without their folders, and refuses two of
// one name: their overlays would be one file.
func photoNames(paths []string) ([]string, error) {
	var names []string
	for _, p := range paths {
		n := baseName(p)
		if i := slices.IndexFunc(names, func(m string) bool { return strings.EqualFold(m, n) }); i >= 0 {
			if filepath.Clean(paths[i]) == filepath.Clean(p) {
				return nil, usagef("%s is given twice; give each photo once", p)
			}
			return nil, usagef("%s and %s have one name, and so would their overlay pictures; rename one", paths[i], p)
		}
		names = append(names, n)
	}
	return names, nil
}
