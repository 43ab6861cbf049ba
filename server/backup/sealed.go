package backup

import (
	"errors"
	"fmt"
	"io"
	"os"
	"strings"

	"filippo.io/age"
)

// sealedEnd ends the names of encrypted files (age-encryption.org/v1).
const sealedEnd = ".age"

// secretBegins begins the secret half of a key.
const secretBegins = "AGE-SECRET-KEY-"

// Keys are the public halves of those keys that open a backup; without any it is not encrypted.
type Keys []age.Recipient

// ending is what a backup's name ends in.
func (k Keys) ending() string {
	if len(k) > 0 {
		return sealedEnd
	}
	return ""
}

// ReadKeys reads a public half (age1...), or a file of them, one a line; none for "". The secret half is refused: a server that has it
// could be robbed of it, and backups of what they hide.
func ReadKeys(given string) (Keys, error) {
	if given == "" {
		return nil, nil
	}
	text := given
	if !strings.HasPrefix(given, "age1") {
		raw, err := os.ReadFile(given)
		if err != nil {
			return nil, fmt.Errorf("the key for backups: %w; give the line age1... that bedwalk key printed, or a file with it", err)
		}
		text = string(raw)
	}
	if strings.Contains(text, secretBegins) {
		return nil, fmt.Errorf("%s holds the secret half of a key, which a server must not have: give the line age1... that bedwalk key printed, and keep this file elsewhere", given)
	}
	keys, err := age.ParseRecipients(strings.NewReader(text))
	if err != nil {
		return nil, fmt.Errorf("the key for backups cannot be read: %w; give the line age1... that bedwalk key printed", err)
	}
	return keys, nil
}

// NewKey writes the secret half of a new key to a new file, and gives the public one.
func NewKey(file string) (public string, err error) {
	key, err := age.GenerateX25519Identity()
	if err != nil {
		return "", err
	}
	f, err := os.OpenFile(file, os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o600)
	if err != nil {
		return "", fmt.Errorf("write the key: %w; a key is never written over another, name a new file", err)
	}
	_, err = fmt.Fprintf(f, "# public half: %s\n%s\n", key.Recipient(), key)
	return key.Recipient().String(), errors.Join(err, f.Sync(), f.Close())
}

// ReadSecrets reads the secret halves in a file; none for "".
func ReadSecrets(file string) ([]age.Identity, error) {
	if file == "" {
		return nil, nil
	}
	f, err := os.Open(file)
	if err != nil {
		return nil, fmt.Errorf("the key that opens backups: %w", err)
	}
	defer f.Close()
	secrets, err := age.ParseIdentities(f)
	if err != nil {
		return nil, fmt.Errorf("%s is no file with the secret half of a key: %w; give the file that bedwalk key wrote", file, err)
	}
	return secrets, nil
}

// seal encrypts a file into another.
func seal(from, to string, keys Keys) error {
	return rewrite(from, to, func(source io.Reader, target io.Writer) error {
		sealing, err := age.Encrypt(target, keys...)
		if err != nil {
			return err
		}
		_, err = io.Copy(sealing, source)
		return errors.Join(err, sealing.Close())
	})
}

// Reasons for which a backup is not opened.
var (
	ErrNoKey    = errors.New("the backup is encrypted: give the file with the secret half of its key with --key")
	ErrOtherKey = errors.New("the backup is encrypted for another key: give the file that bedwalk key wrote when its public half was given to the server")
	ErrUnsealed = errors.New("the encrypted file was changed or cut off: take another backup")
)

// unseal decrypts a file into another. The errors are ErrOtherKey and ErrUnsealed; nothing is left of what they end.
func unseal(from, to string, secrets []age.Identity) error {
	err := rewrite(from, to, func(source io.Reader, target io.Writer) error {
		opened, err := age.Decrypt(source, secrets...)
		var none *age.NoIdentityMatchError
		if errors.As(err, &none) {
			return ErrOtherKey
		}
		if err != nil {
			return fmt.Errorf("%w (%w)", ErrUnsealed, err)
		}
		read := &reading{Reader: opened}
		if _, err = io.Copy(target, read); read.err != nil {
			return fmt.Errorf("%w (%w)", ErrUnsealed, read.err)
		}
		return err
	})
	if err != nil {
		return errors.Join(err, os.RemoveAll(to))
	}
	return nil
}

// reading remembers the error of what is read, to tell it from one of what is written.
type reading struct {
	io.Reader
	err error
}

func (r *reading) Read(p []byte) (int, error) {
	n, err := r.Reader.Read(p)
	if err != nil && !errors.Is(err, io.EOF) {
		r.err = err
	}
	return n, err
}

func rewrite(from, to string, with func(io.Reader, io.Writer) error) error {
	source, err := os.Open(from)
	if err != nil {
		return err
	}
	defer source.Close()
	target, err := os.OpenFile(to, os.O_CREATE|os.O_TRUNC|os.O_WRONLY, 0o600)
	if err != nil {
		return err
	}
	return errors.Join(with(source, target), target.Close())
}
