package ledger

import (
	"context"
	"errors"
	"strings"
	"time"
)

// Device is a device that was paired with the desk.
type Device struct {
	ID      int64 // given by the ledger
	Name    string
	Role    string // what it may do; the desk's word
	Token   string // digest of what the device shows; never the token itself
	Revoked bool   // it may not use the desk any more
	By      string // initials of who paired it
	Paired  time.Time
	Changed time.Time // when its last entry was written
}

// PairDevice lets a device use the desk and gives its id.
func (s *Season) PairDevice(ctx context.Context, by string, d Device) (int64, error) {
	return enter(ctx, s, "pair device", by, func(w writer) (int64, error) {
		if d.Token == "" || strings.TrimSpace(d.Name) == "" {
			return 0, refuse("a device needs a name, and the digest of its token")
		}
		switch _, err := w.deviceWhere("d.token = ?", d.Token); {
		case err == nil:
			return 0, refuse("device %q: its token is %w; pair it anew", d.Name, ErrTaken)
		case !errors.Is(err, ErrNotFound):
			return 0, err
		}
		id, err := w.add("device", column{"token", d.Token})
		if err != nil {
			return 0, err
		}
		d.ID = id
		return id, w.putDevice(d, by, "")
	})
}

func (w writer) putDevice(d Device, by, why string) error {
	_, err := w.add("device_entry", w.signed(by, column{"device", d.ID}, column{"name", d.Name}, column{"role", d.Role},
		column{"revoked", d.Revoked}, column{"why", why})...)
	return err
}

// ChangeDevice gives a device another name and role, empty ones staying.
func (s *Season) ChangeDevice(ctx context.Context, by string, id int64, name, role string) error {
	return s.do(ctx, "change device", by, func(w writer) error {
		d, err := w.deviceWhere("d.id = ?", id)
		if err != nil {
			return err
		}
		if name != "" {
			d.Name = name
		}
		if role != "" {
			d.Role = role
		}
		return w.putDevice(d, by, "")
	})
}

// RevokeDevice lets a device use the desk no longer.
func (s *Season) RevokeDevice(ctx context.Context, by string, id int64, why string) error {
	return s.do(ctx, "revoke device", by, func(w writer) error {
		d, err := w.deviceWhere("d.id = ?", id)
		if err != nil || d.Revoked {
			return err
		}
		d.Revoked = true
		return w.putDevice(d, by, why)
	})
}

// Devices lists all devices, revoked ones too, in the order they were paired.
func (s *Season) Devices(ctx context.Context) ([]Device, error) {
	var all []Device
	err := s.read(ctx, func(r reader) error {
		var err error
		all, err = r.devices("true")
		return err
	})
	return all, err
}

// DeviceOf gives the device with a token's digest, revoked ones too.
func (s *Season) DeviceOf(ctx context.Context, token string) (Device, error) {
	var d Device
	err := s.read(ctx, func(r reader) error {
		var err error
		d, err = r.deviceWhere("d.token = ?", token)
		return err
	})
	return d, err
}

func (r reader) deviceWhere(where string, arg any) (Device, error) {
	all, err := r.devices(where, arg)
	if err == nil && len(all) == 0 {
		err = refuse("the device: %w; pair it with the desk", ErrNotFound)
	}
	if err != nil {
		return Device{}, err
	}
	return all[0], nil
}

func (r reader) devices(where string, args ...any) ([]Device, error) {
	var all []Device
	err := r.each(func(scan func(...any) error) error {
		var d Device
		err := scan(&d.ID, &d.Token, &d.Name, &d.Role, &d.Revoked, instant(&d.Changed), &d.By, instant(&d.Paired))
		all = append(all, d)
		return err
	}, `SELECT d.id, d.token, e.name, e.role, e.revoked, e.at, f.who, f.at FROM device AS d
		JOIN device_entry AS e ON e.id = (SELECT max(id) FROM device_entry WHERE device = d.id)
		JOIN device_entry AS f ON f.id = (SELECT min(id) FROM device_entry WHERE device = d.id)
		WHERE `+where+" ORDER BY d.id", args...)
	return all, err
}
