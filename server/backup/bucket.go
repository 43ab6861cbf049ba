package backup

import (
	"context"
	"crypto/x509"
	"errors"
	"fmt"
	"net"
	"net/http"
	"net/url"
	"path"
	"strings"

	"github.com/minio/minio-go/v7"
	"github.com/minio/minio-go/v7/pkg/credentials"
	"github.com/minio/minio-go/v7/pkg/s3utils"
)

// tries is how often a request is made before its failure counts; the next backup tries again anyway.
const tries = 3

// bucket is a place at an S3-compatible address.
type bucket struct {
	client               *minio.Client
	address, name, under string
}

func openBucket(address string, env func(string) string, through http.RoundTripper) (*bucket, error) {
	const remedy = "write it as https://HOST/BUCKET/PREFIX, and the key into AWS_ACCESS_KEY_ID and AWS_SECRET_ACCESS_KEY"
	u, err := url.Parse(address)
	// A secret with a slash in it ends the host, so that what follows is read as a path, or as no address at all.
	if err != nil || strings.Contains(address, "@") || u.RawQuery != "" || u.Fragment != "" {
		return nil, errors.New("the address names no bucket, or more, and is not shown here since a key may be in it: " + remedy)
	}
	name, under, _ := strings.Cut(strings.Trim(u.Path, "/"), "/")
	if u.Host == "" || name == "" {
		return nil, fmt.Errorf("the address %q names no bucket: %s", address, remedy)
	}
	if err := s3utils.CheckValidBucketName(name); err != nil {
		return nil, fmt.Errorf("the address %q names no bucket: %w; write it as https://HOST/BUCKET/PREFIX", address, err)
	}
	id, secret := env("AWS_ACCESS_KEY_ID"), env("AWS_SECRET_ACCESS_KEY")
	if id == "" || secret == "" {
		return nil, fmt.Errorf("no key for %s: put it into AWS_ACCESS_KEY_ID and AWS_SECRET_ACCESS_KEY of the environment, as of the service", address)
	}
	client, err := minio.New(u.Host, &minio.Options{
		Creds: credentials.NewStaticV4(id, secret, env("AWS_SESSION_TOKEN")), Secure: u.Scheme == "https", Region: env("AWS_REGION"),
		Transport: through, MaxRetries: tries,
	})
	if err != nil {
		return nil, fmt.Errorf("the address %s cannot be used: %w", address, err)
	}
	return &bucket{client, strings.TrimRight(address, "/"), name, under}, nil
}

// At is Place's.
func (b *bucket) At(name string) string { return b.address + "/" + name }

func (b *bucket) key(name string) string {
	if b.under == "" {
		return name
	}
	return b.under + "/" + name
}

// Names is Place's.
func (b *bucket) Names(ctx context.Context, prefix string) (names []string, err error) {
	ctx, stop := context.WithCancel(ctx)
	defer stop()
	for one := range b.client.ListObjects(ctx, b.name, minio.ListObjectsOptions{Prefix: b.key(prefix), Recursive: strings.HasSuffix(prefix, "/")}) {
		if one.Err != nil {
			return nil, b.explain("list the backups", one.Err)
		}
		if name := strings.TrimPrefix(one.Key, b.key("")); !strings.HasSuffix(name, "/") {
			names = append(names, name)
		}
	}
	return names, nil
}

// Put is Place's. A bucket shows no object before it is whole.
func (b *bucket) Put(ctx context.Context, name, from string) error {
	_, err := b.client.FPutObject(ctx, b.name, b.key(name), from, minio.PutObjectOptions{ContentType: "application/octet-stream"})
	return b.explain("write "+path.Base(name), err)
}

// Get is Place's.
func (b *bucket) Get(ctx context.Context, name, to string) error {
	return b.explain("read "+path.Base(name), b.client.FGetObject(ctx, b.name, b.key(name), to, minio.GetObjectOptions{}))
}

// Delete is Place's.
func (b *bucket) Delete(ctx context.Context, name string) error {
	return b.explain("delete "+path.Base(name), b.client.RemoveObject(ctx, b.name, b.key(name), minio.RemoveObjectOptions{}))
}

// explain says what to do about an answer of the store, by its code (Amazon S3 API Reference, "Error responses", which others follow;
// QuotaExceeded and the two of Minio are such others') or of the network.
func (b *bucket) explain(doing string, err error) error {
	if err == nil {
		return nil
	}
	answer := minio.ToErrorResponse(err)
	var remedy string
	switch answer.Code {
	case "InvalidAccessKeyId", "SignatureDoesNotMatch", "InvalidToken", "ExpiredToken":
		remedy = "the store does not take this key: correct AWS_ACCESS_KEY_ID and AWS_SECRET_ACCESS_KEY"
	case "AccessDenied", "AllAccessDisabled":
		remedy = "this key may not do that: let it list, read, write and delete in this bucket"
	case "NoSuchBucket":
		remedy = "there is no such bucket: make it, or correct the address"
	case "NoSuchKey":
		remedy = "there is no such backup: name one that is there, or the place alone for the newest"
	case "RequestTimeTooSkewed":
		remedy = "this machine's clock and the store's differ too much: set this one's by its time service"
	case "QuotaExceeded", "XMinioAdminBucketQuotaExceeded", "XMinioStorageFull", "InsufficientStorage":
		remedy = "the bucket is full: give it more room, or keep fewer backups (--backup-stay, --backup-days, --backup-weeks, --backup-months)"
	case "AuthorizationHeaderMalformed", "PermanentRedirect", "IllegalLocationConstraintException":
		remedy = "the bucket is in another region: put its region into AWS_REGION"
	default:
		remedy = ofNetwork(err)
	}
	if remedy == "" && answer.StatusCode == http.StatusInsufficientStorage {
		remedy = "the store is full: give it more room"
	}
	if remedy == "" {
		return fmt.Errorf("%s at %s: %w", doing, b.address, err)
	}
	return fmt.Errorf("%s at %s: %s (%w)", doing, b.address, remedy, err)
}

func ofNetwork(err error) string {
	var unknown x509.UnknownAuthorityError
	var name *net.DNSError
	var dial *net.OpError
	switch {
	case errors.As(err, &unknown):
		return "its certificate is of no authority that this machine knows: add that authority to the machine's, or correct the address"
	case errors.As(err, &name):
		return "the host has no address in the network's names: correct the address, or see that the network is up"
	case errors.As(err, &dial):
		return "the host cannot be reached: correct the address and port, or see that the network is up"
	case strings.Contains(err.Error(), "server gave HTTP response to HTTPS client"):
		return "the host speaks plain http there: write http://, or name its HTTPS port"
	}
	return ""
}
