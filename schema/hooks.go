package schema

// HookAsk adds a webhook: an address that gets messages about events of these types.
type HookAsk struct {
	Name   string   `json:"name" validate:"required,max=80"`
	URL    string   `json:"url" validate:"required,max=2000"`
	Events []string `json:"events" validate:"min=1,max=20,dive,max=40"`
}

// HookSecret is what a webhook signs by, which no other answer has.
type HookSecret struct {
	ID     string `json:"id"`
	Secret string `json:"secret"`
}

// HookSwitch turns a webhook on or off.
type HookSwitch struct {
	On bool `json:"on"`
}

// Hooks lists the webhooks, and the types of events that there are.
type Hooks struct {
	Hooks  []Hook   `json:"hooks"`
	Events []string `json:"events"`
}

// Hook is a webhook. State is on, off or failed; Why says what failed: gone (the receiver said so), tries (a message was not taken in ten tries), queue
// (too many messages waited). Times are ms since 1970: FailingSince 0 while the last try was taken, OldUntil until when the secret before
// the newest signs too. Tries are the last ones, the newest first.
type Hook struct {
	ID           string    `json:"id"`
	Name         string    `json:"name"`
	URL          string    `json:"url"`
	Events       []string  `json:"events"`
	State        string    `json:"state"`
	Why          string    `json:"why"`
	MadeByName   string    `json:"made_by_name"`
	MadeAt       int64     `json:"made_at"`
	ChangedAt    int64     `json:"changed_at"`
	FailingSince int64     `json:"failing_since"`
	OldUntil     int64     `json:"old_until"`
	Waiting      int       `json:"waiting"`
	Tries        []HookTry `json:"tries"`
}

// HookTry is an attempt to send a message. Status is that of the answer, 0 where none came, and Error why; Answer is how the answer began.
type HookTry struct {
	Message string `json:"message"`
	Type    string `json:"type"`
	Try     int    `json:"try"`
	At      int64  `json:"at"`
	MS      int64  `json:"ms"`
	Status  int    `json:"status"`
	OK      bool   `json:"ok"`
	Error   string `json:"error"`
	Answer  string `json:"answer"`
}
