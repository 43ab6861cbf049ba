package api

import (
	"cmp"
	"fmt"
	"net"
	"net/http"
	"regexp"
	"slices"
	"strings"
	"time"

	"github.com/labstack/echo/v4"
	"github.com/labstack/echo/v4/middleware"

	"bedwalk/schema"
	"bedwalk/server/access"
)

// cookieName is the cookie that holds a device's token.
const cookieName = "bedwalk"

// cookieLife is as long as browsers allow (400 days in Chromium); every /api/me renews it.
const cookieLife = 400 * 24 * time.Hour

const deviceKey = "device"

// policy lets the app run its own files and nothing else; wasm-unsafe-eval is for the barcode reader, blob and data
// for pictures that were just taken.
const policy = "default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; style-src 'self'; img-src 'self' blob: data:; " +
	"connect-src 'self'; manifest-src 'self'; worker-src 'self'; media-src 'self' blob:; font-src 'self'; " +
	"base-uri 'none'; form-action 'none'; frame-ancestors 'none'"

// strictFor is how long a browser remembers to come by HTTPS alone, in seconds: a year, as usual.
const strictFor = "max-age=31536000"

func (s *server) headers(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		h := c.Response().Header()
		h.Set(echo.HeaderContentSecurityPolicy, policy)
		h.Set(echo.HeaderXContentTypeOptions, "nosniff")
		h.Set(echo.HeaderReferrerPolicy, "no-referrer")
		h.Set("Cross-Origin-Opener-Policy", "same-origin")
		h.Set("Cross-Origin-Resource-Policy", "same-origin")
		if s.Strict && s.cameByHTTPS(c.Request()) {
			h.Set(echo.HeaderStrictTransportSecurity, strictFor)
		}
		h.Set("Permissions-Policy", "camera=(self), geolocation=(), microphone=()")
		if strings.HasPrefix(c.Request().URL.Path, "/api/") {
			h.Set(echo.HeaderCacheControl, "no-store")
		}
		return next(c)
	}
}

// upToDate asks Options.Before about requests of the api, and answers those that no nursery takes.
func (s *server) upToDate(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		if err := refused(c.Request().Context()); err != nil {
			return err
		}
		if s.Before != nil && strings.HasPrefix(c.Request().URL.Path, "/api/") {
			if err := s.Before(c.Request().Context()); err != nil {
				return err
			}
		}
		return next(c)
	}
}

// cameByHTTPS is true for a request by our own HTTPS or to the address of a proxy that has it. Localhost is left out:
// browsers keep the promise for all ports of a name, and others serve there too.
func (s *server) cameByHTTPS(r *http.Request) bool {
	host := strings.ToLower(r.Host)
	if name, _, err := net.SplitHostPort(host); err == nil && name == "localhost" || host == "localhost" {
		return false
	}
	return r.TLS != nil || slices.Contains(s.Origins, "https://"+host)
}

// requestID is what a proxy may call a request by. Anything else would let whoever asks write what they like into the log.
var requestID = regexp.MustCompile(`^[0-9A-Za-z._-]{1,64}$`)

// briefID drops the name that a request brings unless it is short and plain; the request is then given one here.
func briefID(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		if h := c.Request().Header; !requestID.MatchString(h.Get(echo.HeaderXRequestID)) {
			h.Del(echo.HeaderXRequestID)
		}
		return next(c)
	}
}

// logged writes one line a request: the route, not the address, because addresses hold pairing codes and reading keys.
func (s *server) logged(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		began := time.Now()
		err := next(c)
		if err != nil {
			c.Error(err)
		}
		device, _ := c.Get(deviceKey).(access.Device)
		took := time.Since(began)
		line := []any{
			"id", c.Response().Header().Get(echo.HeaderXRequestID), "method", c.Request().Method, "route", c.Path(),
			"status", c.Response().Status, "ms", took.Milliseconds(), "bytes", c.Response().Size, "device", device.ID,
		}
		if reader := readerOf(c).ID; reader != "" {
			line = append(line, "key", reader)
		}
		s.Log.Info("request", line...)
		s.Observe(c.Request().Method, c.Path(), c.Response().Status, took)
		return nil
	}
}

// survive turns a panic in a handler into an answer and a line in the log, so that one request cannot end the server.
var survive = middleware.RecoverWithConfig(middleware.RecoverConfig{
	DisableStackAll: true, DisableErrorHandler: true, StackSize: 16 << 10,
	LogErrorFunc: func(_ echo.Context, err error, stack []byte) error { return fmt.Errorf("panic: %w\n%s", err, stack) },
})

// sameOrigin refuses writes that a page of another site sends with the visitor's cookie. SameSite=Strict already keeps
// the cookie from them in today's browsers; this holds in the others too.
func (s *server) sameOrigin(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		if s.cross.Check(c.Request()) != nil {
			return schema.NewProblem(http.StatusForbidden, "other_origin", "The request comes from a page of another site.",
				"Open Bedwalk by its own address. Behind a proxy, start the server with --origin and that address.")
		}
		return next(c)
	}
}

// FromUs is true for requests from our own pages, and for programs, which send no Origin. It also judges the GET that opens
// a WebSocket, which the protection would let pass as it does a link.
func (o Options) FromUs(r *http.Request) bool {
	return o.crossOrigin().Check(&http.Request{Method: http.MethodPost, URL: r.URL, Host: r.Host, Header: r.Header}) == nil
}

func (o Options) crossOrigin() *http.CrossOriginProtection {
	p := http.NewCrossOriginProtection()
	for _, origin := range o.Origins {
		// One that is no origin is no request's either; serve refuses such a flag.
		_ = p.AddTrustedOrigin(origin)
	}
	return p
}

// strangers answers a browser that has no cookie of ours with 204: a person who opens the app for the first time has
// done nothing wrong, and a refusal would stand as an error in the browser's console.
func (s *server) strangers(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		if _, err := c.Cookie(cookieName); err != nil && !access.IsKey(keyInHeader(c.Request())) {
			return c.NoContent(http.StatusNoContent)
		}
		return next(c)
	}
}

// identified finds the device by its cookie, a revoked one too.
func (s *server) identified(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		cookie, err := c.Cookie(cookieName)
		if err != nil {
			return s.keyElsewhere(c)
		}
		device, err := s.Gate.Identify(c.Request().Context(), cookie.Value)
		if err != nil {
			return err
		}
		c.Set(deviceKey, device)
		return next(c)
	}
}

// paired lets in devices that have not been revoked.
func (s *server) paired(next echo.HandlerFunc) echo.HandlerFunc {
	return s.identified(func(c echo.Context) error {
		if deviceOf(c).RevokedAt > 0 {
			return s.revokedPhone(c)
		}
		return next(c)
	})
}

// revokedPhone says besides the refusal where the server stands with the phone: after a restored backup it is the only
// way in which the phone can find out what it has to send again.
func (s *server) revokedPhone(c echo.Context) error {
	p := schema.NewProblem(http.StatusForbidden, "revoked", "This phone's access was taken back.",
		"Its notes can still be sent, and wait for the supervisor. Ask for a new pairing code to go on.")
	inc, high, _, err := s.Journal.Writer(c.Request().Context(), deviceOf(c).ID)
	if err != nil {
		return err
	}
	p.Epoch, p.Incarnation, p.High = s.Journal.Epoch(), &inc, &high
	return p
}

// supervisorOnly lets in supervisors and owners.
func (s *server) supervisorOnly(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		if !deviceOf(c).Supervises() && readerOf(c).ID == "" {
			return schema.NewProblem(http.StatusForbidden, "not_allowed", "A scout's phone may not do this.", "Ask a supervisor.")
		}
		return next(c)
	}
}

func deviceOf(c echo.Context) access.Device {
	device, _ := c.Get(deviceKey).(access.Device)
	return device
}

var errTooFast = schema.NewProblem(http.StatusTooManyRequests, "too_fast", "Too many requests in a short time.", "Wait half a minute; the phone does so by itself and keeps its notes.")

// paced bounds how fast one device, or one address that is not paired, may ask.
func (s *server) paced(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		who := cmp.Or(deviceOf(c).ID, readerOf(c).ID, c.RealIP())
		if !s.paces.allow(who) {
			return errTooFast
		}
		return next(c)
	}
}
