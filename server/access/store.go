package access

import "context"

// Store is where a Gate keeps devices, invitations and reading keys. It finds rows and puts rows: what a code is worth, who may revoke whom and what a
// token is, is decided in this package.
type Store interface {
	// Write runs f alone. All that f puts is on the disk when Write returns nil, and none of it after an error of f.
	Write(ctx context.Context, f func(Tx) error) error
	// Read runs f on one moment.
	Read(ctx context.Context, f func(Snap) error) error
}

// Snap reads. Times are milliseconds since 1970; tokens and codes are known by their SHA-256 alone.
type Snap interface {
	// Device is the device with an id, Holder the one that holds a token; found is false where there is none.
	Device(id string) (d Device, found bool, err error)
	Holder(token [32]byte) (d Device, found bool, err error)
	// Devices are all that were ever paired, the newest first.
	Devices() ([]Device, error)
	Invitation(code [32]byte) (i Invitation, found bool, err error)
	// KeyHolder is the program that a reading key is for, by the key's SHA-256, and Readers are all, the newest first; none in a store of a
	// build that knew no keys. One is orphaned while its maker has no device as a supervisor or an owner that may come in.
	KeyHolder(key [32]byte) (r Reader, found bool, err error)
	Readers() ([]Reader, error)
	// Invited counts by person the invitations that nobody has used and that are valid beyond a time.
	Invited(at int64) (map[string]int, error)
}

// Tx reads what it has put, too.
type Tx interface {
	Snap
	// Pair puts a new device, which may write in the name of its own person.
	Pair(d Device, token [32]byte) error
	// Inherit lets a device write in all the names in which the holder of a token could.
	Inherit(device string, token [32]byte) error
	// Seen is when a device last came.
	Seen(device string, at int64) error
	// Revoke takes access back from a device that has it.
	Revoke(device string, at int64, by string) error
	Invite(code [32]byte, i Invitation) error
	// Forget takes out the invitations that were valid until before a time.
	Forget(before int64) error
	// Name sets the person of an invitation that has none.
	Name(code [32]byte, person string) error
	PutReader(r Reader, key [32]byte) error
	// UseKey is when a program last came, and RevokeKey takes access back from one that has it.
	UseKey(id string, at int64) error
	RevokeKey(id string, at int64, by string) error
	// Spend marks an invitation as used.
	Spend(code [32]byte, u Use) error
}

// Invitation is a Pairing with its end, and its use once there is one.
type Invitation struct {
	Pairing
	Until int64
	Use
}

// Use is what became of an invitation: by which device it was used and when, 0 while it was not. Claim is the hash of the secret that the
// device sent with it, and Chance what its token was made of; nil where it sent none.
type Use struct {
	At            int64
	Device        string
	Claim, Chance []byte
}
