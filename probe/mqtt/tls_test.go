package mqtt

import (
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/x509"
	"crypto/x509/pkix"
	"encoding/pem"
	"math/big"
	"net"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"boildown/probe"
	"boildown/probe/probetest"
)

// certificate writes a certificate for this machine that signs itself, and its
// key.
func certificate(t *testing.T, dir string) (certFile, keyFile string) {
	t.Helper()
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		t.Fatal(err)
	}
	template := x509.Certificate{
		SerialNumber: big.NewInt(1), Subject: pkix.Name{CommonName: "test broker"},
		NotBefore: time.Now().Add(-time.Hour), NotAfter: time.Now().Add(time.Hour),
		IPAddresses: []net.IP{net.IPv4(127, 0, 0, 1)}, IsCA: true, BasicConstraintsValid: true,
		KeyUsage: x509.KeyUsageDigitalSignature | x509.KeyUsageCertSign,
	}
	cert, err := x509.CreateCertificate(rand.Reader, &template, &template, &key.PublicKey, key)
	if err != nil {
		t.Fatal(err)
	}
	der, err := x509.MarshalPKCS8PrivateKey(key)
	if err != nil {
		t.Fatal(err)
	}
	certFile, keyFile = filepath.Join(dir, "cert.pem"), filepath.Join(dir, "key.pem")
	for file, block := range map[string]*pem.Block{certFile: {Type: "CERTIFICATE", Bytes: cert}, keyFile: {Type: "PRIVATE KEY", Bytes: der}} {
		if err := os.WriteFile(file, pem.EncodeToMemory(block), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	return certFile, keyFile
}

func TestSource_tls(t *testing.T) {
	probetest.LeavesNothing(t)
	dir, err := os.MkdirTemp("", "broker") // t.TempDir is closed to mosquitto, which drops root's rights
	if err != nil {
		t.Fatal(err)
	}
	defer os.RemoveAll(dir)
	os.Chmod(dir, 0o755)
	cert, key := certificate(t, dir)
	port := probetest.FreePort(t)
	broker(t, port, "allow_anonymous true\ncertfile "+cert+"\nkeyfile "+key+"\n")
	none := func(string) string { return "" }

	b, topic, err := ParseURL("mqtts://127.0.0.1:"+port+"/pot", none)
	if err != nil {
		t.Fatal(err)
	}
	await(t, run(t, Settings{Broker: b, Topic: topic}), "refusal of a stranger's certificate", func(e probe.Event) bool {
		return strings.Contains(e.Note, "give the certificate of the authority")
	})

	if b, topic, err = ParseURL("mqtts://127.0.0.1:"+port+"/pot?ca="+cert, none); err != nil {
		t.Fatal(err)
	}
	events := run(t, Settings{Broker: b, Topic: topic})
	await(t, events, "link", isUp)
	pub(t, port, "-t", "pot", "-m", "112.4", "--cafile", cert)
	if e := await(t, events, "reading", isReading); e.Reading.C != 112.4 {
		t.Errorf("%+v", e)
	}
}
