package journal

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
)

// Differences compares the files in a folder (epochs, head, keys for receipts) with the site, and says of each that is
// otherwise what that means and what to do. It reads only. Beside a running server a difference may be a moment old: ask twice.
func Differences(ctx context.Context, site Site, dir string) (all []string, err error) {
	// The files first: the server writes them after the database, except for a new epoch.
	head, headKnown, err := readHead(filepath.Join(dir, HeadFile))
	if err != nil {
		return nil, err
	}
	epochs, epochsErr := epochsBeside(dir)
	keys, whole, err := readKeys(filepath.Join(dir, KeyFile))
	if err != nil {
		return nil, err
	}
	err = site.Read(ctx, func(snap Snap) error {
		ends, err := snap.Head()
		if err != nil {
			return err
		}
		inside, err := snap.Epochs()
		if err != nil {
			return err
		}
		kept, err := snap.Setting(metaKeys)
		if err != nil {
			return err
		}
		if headKnown && head > ends {
			all = append(all, fmt.Sprintf("%s says %d, and the journal ends at %d: this is an older copy of the database. "+
				"If that is not meant, put the newest one in its place; if it is, start the server, and the phones send again what is missing", HeadFile, head, ends))
		}
		all = append(all, epochDifferences(inside, epochs, epochsErr)...)
		known, _ := parseKeys(kept)
		all = append(all, keyDifferences(known, keys, whole, ends)...)
		return nil
	})
	return all, err
}

// epochsBeside reads the history of epochs strictly. The error is fs.ErrNotExist where there is none.
func epochsBeside(dir string) (all []Epoch, err error) {
	raw, err := os.ReadFile(filepath.Join(dir, SidecarFile))
	if err != nil {
		return nil, err
	}
	return all, json.Unmarshal(raw, &all)
}

func epochDifferences(inside, beside []Epoch, unread error) []string {
	const begins = "The next start of the server begins a new epoch: phones compare, and send again what may be missing; no note is lost by it"
	switch {
	case len(inside) == 0 && len(beside) == 0:
		return nil
	case errors.Is(unread, fs.ErrNotExist):
		return []string{SidecarFile + " is not there. " + begins}
	case unread != nil:
		return []string{fmt.Sprintf("%s cannot be read (%v). %s", SidecarFile, unread, begins)}
	case slices.Equal(inside, beside):
		return nil
	case len(inside) == 0 || len(beside) == 0 || inside[len(inside)-1] != beside[len(beside)-1]:
		return []string{SidecarFile + " and the database are not in the same epoch: a backup was put back, or one of them was replaced. " + begins}
	}
	return []string{SidecarFile + " and the database tell the same epoch and different ones before it. " +
		"Phones of an epoch that only one of them knows read the journal from the beginning; nothing has to be done"}
}

func keyDifferences(inside, beside keyRing, whole bool, ends int64) (all []string) {
	lacks := func(of, in keyRing) (n int) {
		for _, key := range of {
			if !slices.ContainsFunc(in, func(one []byte) bool { return string(one) == string(key) }) {
				n++
			}
		}
		return n
	}
	if !whole {
		all = append(all, KeyFile+" cannot be read in full. The next start of the server writes it again with the keys that the database has, "+
			"and says so on the Phones page. If you have a whole copy of it, put that in its place first")
	}
	if len(inside) == 0 && len(beside) == 0 {
		if ends > 0 {
			all = append(all, "there is no key for receipts, neither in "+KeyFile+" nor in the database. The next start of the server makes one; "+
				"what phones then give back with receipts of before waits on the Phones page for your decision. If you have a copy of "+KeyFile+", put it back first")
		}
		return all
	}
	if n := lacks(beside, inside); n > 0 {
		all = append(all, fmt.Sprintf("the database lacks %d of the keys in %s. The next start of the server joins the two; keep the file until then", n, KeyFile))
	}
	if n := lacks(inside, beside); n > 0 && whole {
		all = append(all, fmt.Sprintf("%s lacks %d of the keys in the database. The next start of the server joins the two", KeyFile, n))
	}
	return all
}
