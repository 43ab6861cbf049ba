package realrun

import (
	"bytes"
	"compress/gzip"
	"context"
	"crypto/sha256"
	"encoding/base64"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net/http"
	"strconv"
	"strings"
	"time"

	"github.com/gorilla/websocket"
	"golang.org/x/time/rate"

	"bedwalk/schema"
	"bedwalk/server/testphone"
	"bedwalk/sync/tables"
)

// Phone is a paired device: it writes notes like the real app and sends them over HTTP.
type Phone struct {
	*testphone.Phone
	Program *Program
	Me      schema.Me
	// Acked is the last number that the server has acknowledged; Given what it said of each, by number less one.
	Acked  int
	Given  []schema.Given
	Epoch  string
	cookie string
	client *http.Client
}

// Refused is an answer that is no success. Problem.Code says what to do.
type Refused struct{ schema.Problem }

func (r *Refused) Error() string {
	return fmt.Sprintf("%d %s: %s %s", r.Status, r.Code, r.Detail, r.Remedy)
}

// Pair makes a device with a code.
func (p *Program) Pair(ctx context.Context, code string) (*Phone, error) {
	phone := &Phone{Program: p, client: &http.Client{Transport: &http.Transport{DisableCompression: true}}}
	raw, err := json.Marshal(schema.PairAsk{Code: code, Name: "drill"})
	if err != nil {
		return nil, err
	}
	if err := phone.Ask(ctx, http.MethodPost, "/api/pair", raw, &phone.Me); err != nil {
		return nil, fmt.Errorf("pair with %s: %w", code, err)
	}
	phone.Phone = testphone.New(phone.Me.Device)
	// A day's notes were made before the phone met the server.
	phone.Person, phone.Wall, phone.Epoch = phone.Me.Person, phone.Me.ServerNow-24*time.Hour.Milliseconds(), phone.Me.Epoch
	return phone, nil
}

// Phones pairs the owner's device, by the code of a first start, and n scouts' phones.
func (p *Program) Phones(ctx context.Context, n int) (owner *Phone, scouts []*Phone, err error) {
	if owner, err = p.Pair(ctx, p.OwnerCode()); err != nil {
		return nil, nil, err
	}
	// Below what the server allows one device and one address, which a crew meets nowhere else.
	pace := rate.NewLimiter(30, 200)
	for i := range n {
		if err := pace.Wait(ctx); err != nil {
			return nil, nil, err
		}
		raw, err := json.Marshal(schema.PairingAsk{Name: fmt.Sprintf("Scout %d", i+1), Role: "scout"})
		if err != nil {
			return nil, nil, err
		}
		var pairing schema.Pairing
		if err := owner.Ask(ctx, http.MethodPost, "/api/pairings", raw, &pairing); err != nil {
			return nil, nil, err
		}
		scout, err := p.Pair(ctx, pairing.Code)
		if err != nil {
			return nil, nil, err
		}
		scouts = append(scouts, scout)
	}
	return owner, scouts, nil
}

// Body is the batch of the notes from to to, packed as the app packs it.
func (p *Phone) Body(from, to int) ([]byte, error) {
	push := p.Batch(from, to)
	push.Epoch, push.SentWall = p.Epoch, time.Now().UnixMilli()
	push.SentMono = push.SentWall - p.Wall
	return Packed(push)
}

// Packed is a push as it goes over the wire: JSON in gzip.
func Packed(push schema.Push) ([]byte, error) {
	var out bytes.Buffer
	zip := gzip.NewWriter(&out)
	// The entries' own bytes must not be escaped again, or they would not be the bytes that were chained.
	encoder := json.NewEncoder(zip)
	encoder.SetEscapeHTML(false)
	err := errors.Join(encoder.Encode(push), zip.Close())
	return out.Bytes(), err
}

// Push sends the notes from to to and counts them as acknowledged when the server says so.
func (p *Phone) Push(ctx context.Context, from, to int) error {
	body, err := p.Body(from, to)
	if err != nil {
		return err
	}
	answer, err := p.Send(ctx, body)
	if err != nil {
		return err
	}
	if len(answer.Given) != to-from+1 {
		return fmt.Errorf("a batch of %d notes was answered with %d", to-from+1, len(answer.Given))
	}
	p.Given = append(p.Given[:from-1], answer.Given...)
	p.Acked = max(p.Acked, to)
	return nil
}

// Send sends a packed batch.
func (p *Phone) Send(ctx context.Context, packed []byte) (answer schema.PushAnswer, err error) {
	err = p.ask(ctx, http.MethodPost, "/api/push", packed, "gzip", &answer)
	return answer, err
}

// Pull fetches one page after a position, as tables, as the app does.
func (p *Phone) Pull(ctx context.Context, after int64) (page schema.Pull, err error) {
	var raw json.RawMessage
	path := fmt.Sprintf("/api/pull?epoch=%s&after=%d&tables=%d", p.Epoch, after, schema.TablesVersion)
	if err := p.Ask(ctx, http.MethodGet, path, nil, &raw); err != nil {
		return page, err
	}
	return tables.Either(raw)
}

// PullAll fetches the whole journal.
func (p *Phone) PullAll(ctx context.Context) (all []schema.Pulled, err error) {
	for after, more := int64(0), true; more; {
		page, err := p.Pull(ctx, after)
		if err != nil {
			return nil, err
		}
		all = append(all, page.Items...)
		if more = page.More; more {
			after = page.Items[len(page.Items)-1].Position
		}
	}
	return all, nil
}

// Listen opens the connection by which the app hears of news. It is the caller's to close.
func (p *Phone) Listen(ctx context.Context) (*websocket.Conn, error) {
	header := http.Header{"Cookie": {p.cookie}, "Origin": {p.Program.URL()}}
	conn, answer, err := websocket.DefaultDialer.DialContext(ctx, strings.Replace(p.Program.URL(), "http", "ws", 1)+"/api/live", header)
	if answer != nil && answer.Body != nil {
		_ = answer.Body.Close()
	}
	return conn, err
}

// Photo uploads a picture as the app does: it begins the upload, and sends it in one part.
func (p *Phone) Photo(ctx context.Context, raw []byte) error {
	sum := sha256.Sum256(raw)
	hash := hex.EncodeToString(sum[:])
	if err := p.tus(ctx, http.MethodPost, "/api/photos", nil, http.Header{
		"Upload-Length": {strconv.Itoa(len(raw))}, "Upload-Metadata": {"hash " + base64.StdEncoding.EncodeToString([]byte(hash))},
	}); err != nil {
		return err
	}
	return p.tus(ctx, http.MethodPatch, "/api/photos/"+hash, raw, http.Header{"Upload-Offset": {"0"}, "Content-Type": {"application/offset+octet-stream"}})
}

func (p *Phone) tus(ctx context.Context, method, path string, body []byte, header http.Header) error {
	r, err := http.NewRequestWithContext(ctx, method, p.Program.URL()+path, bytes.NewReader(body))
	if err != nil {
		return err
	}
	r.Header = header
	r.Header.Set("Tus-Resumable", "1.0.0")
	r.Header.Set("Cookie", p.cookie)
	answer, err := p.client.Do(r)
	if err != nil {
		return err
	}
	defer answer.Body.Close()
	if answer.StatusCode >= http.StatusMultipleChoices {
		raw, _ := io.ReadAll(answer.Body)
		return fmt.Errorf("%s %s: %s %s", method, path, answer.Status, raw)
	}
	return nil
}

// Refresh asks the server who this phone is and how far its notes have come.
func (p *Phone) Refresh(ctx context.Context) error {
	return p.Ask(ctx, http.MethodGet, "/api/me", nil, &p.Me)
}

// Ask sends one request and reads the answer into a message. An answer that is no success is a *Refused.
func (p *Phone) Ask(ctx context.Context, method, path string, body []byte, into any) error {
	return p.ask(ctx, method, path, body, "", into)
}

func (p *Phone) ask(ctx context.Context, method, path string, body []byte, encoding string, into any) error {
	r, err := http.NewRequestWithContext(ctx, method, p.Program.URL()+path, bytes.NewReader(body))
	if err != nil {
		return err
	}
	if body != nil {
		r.Header.Set("Content-Type", "application/json")
	}
	if encoding != "" {
		r.Header.Set("Content-Encoding", encoding)
	}
	if p.cookie != "" {
		r.Header.Set("Cookie", p.cookie)
	}
	answer, err := p.client.Do(r)
	if err != nil {
		return err
	}
	defer answer.Body.Close()
	raw, err := io.ReadAll(answer.Body)
	if err != nil {
		return err
	}
	for _, cookie := range answer.Cookies() {
		p.cookie = cookie.Name + "=" + cookie.Value
	}
	if answer.StatusCode == http.StatusOK {
		return json.Unmarshal(raw, into)
	}
	refused := &Refused{}
	if kind := answer.Header.Get("Content-Type"); !strings.HasPrefix(kind, schema.ContentProblem) {
		return fmt.Errorf("%s %s: %s in %s: %s", method, path, answer.Status, kind, raw)
	}
	if err := json.Unmarshal(raw, &refused.Problem); err != nil {
		return err
	}
	return refused
}
