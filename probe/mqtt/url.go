package mqtt

import (
	"crypto/tls"
	"crypto/x509"
	"errors"
	"fmt"
	"net/url"
	"os"
	"strings"
)

// The environment variables that log in. They and files are the only ways: a
// password on the command line stays in its history.
const (
	EnvUser         = "BOILDOWN_MQTT_USER"
	EnvPassword     = "BOILDOWN_MQTT_PASSWORD"
	EnvPasswordFile = "BOILDOWN_MQTT_PASSWORD_FILE" // its first line
)

// ParseURL reads "mqtt://host:1883/kitchen/pot" and "mqtts://…", which is the
// same over TLS, into a broker and a topic. Behind a question mark may stand
// version=5 and ca=FILE with the certificate of an authority of one's own.
// Getenv looks up the variables above.
func ParseURL(raw string, getenv func(string) string) (b Broker, topic string, err error) {
	u, err := url.Parse(raw)
	switch {
	case err != nil:
		return b, "", errors.New("mqtt: that is no address: write mqtt://host/topic") // err would repeat a password
	case u.Scheme != "mqtt" && u.Scheme != "mqtts" || u.Host == "":
		return b, "", errors.New("mqtt: that is no address of a broker: write mqtt://host/topic, or mqtts:// for TLS")
	case u.User != nil:
		return b, "", fmt.Errorf("mqtt: user and password do not belong on the command line, where its history keeps them: set %s and %s, or %s", EnvUser, EnvPassword, EnvPasswordFile)
	}
	b.Address = u.Host
	if u.Port() == "" {
		b.Address = u.Hostname()
	}
	if u.Scheme == "mqtts" {
		b.TLS = &tls.Config{ServerName: u.Hostname(), MinVersion: tls.VersionTLS12}
	}
	if err := b.options(u.Query()); err != nil {
		return b, "", err
	}
	if err := b.login(getenv); err != nil {
		return b, "", err
	}
	topic = strings.Trim(u.Path, "/")
	return b, topic, checkTopic(topic)
}

func (b *Broker) options(q url.Values) error {
	for key, values := range q {
		v := values[len(values)-1]
		switch {
		case key == "version" && v == "5":
			b.Version5 = true
		case key == "version" && (v == "3.1.1" || v == "4"):
			b.Version5 = false
		case key == "version":
			return fmt.Errorf("mqtt: there is no version %q: it is 3.1.1 or 5", v)
		case key == "ca" && b.TLS == nil:
			return errors.New("mqtt: a certificate is of use with mqtts:// only")
		case key == "ca":
			pem, err := os.ReadFile(v)
			if err != nil {
				return fmt.Errorf("mqtt: reading the authority's certificate: %w", err)
			}
			b.TLS.RootCAs = x509.NewCertPool()
			if !b.TLS.RootCAs.AppendCertsFromPEM(pem) {
				return fmt.Errorf("mqtt: %s holds no certificate in PEM form", v)
			}
		default:
			return fmt.Errorf("mqtt: there is no option %q: it is version or ca", key)
		}
	}
	return nil
}

func (b *Broker) login(getenv func(string) string) error {
	b.User, b.Password = getenv(EnvUser), getenv(EnvPassword)
	if file := getenv(EnvPasswordFile); file != "" && b.Password == "" {
		text, err := os.ReadFile(file)
		if err != nil {
			return fmt.Errorf("mqtt: reading the password: %w", err)
		}
		b.Password, _, _ = strings.Cut(strings.ReplaceAll(string(text), "\r", ""), "\n")
	}
	if b.Password != "" && b.User == "" {
		return fmt.Errorf("mqtt: there is a password and no user: set %s too", EnvUser)
	}
	return nil
}
