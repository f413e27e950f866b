package desk

import (
	"context"
	"strconv"

	"traystage/scoring/ledger"
)

// seasonDevices keeps devices in the season.
type seasonDevices struct{ season *ledger.Season }

// SeasonDevices keeps the paired devices in a season, so that they go with it.
func SeasonDevices(s *ledger.Season) Devices { return seasonDevices{s} }

func (k seasonDevices) Devices(ctx context.Context) ([]Device, error) {
	all, err := k.season.Devices(ctx)
	if err != nil {
		return nil, err
	}
	var out []Device
	for _, d := range all {
		dev := Device{ID: strconv.FormatInt(d.ID, 10), Name: d.Name, Role: roleNamed(d.Role), Hash: d.Token, Paired: d.Paired, Ends: d.Paired.Add(pairedFor)}
		if d.Revoked {
			dev.Revoked = d.Changed
		}
		out = append(out, dev)
	}
	return out, nil
}

func (k seasonDevices) AddDevice(ctx context.Context, by string, d Device) error {
	_, err := k.season.PairDevice(ctx, by, ledger.Device{Name: d.Name, Role: d.Role.String(), Token: d.Hash})
	return err
}

func (k seasonDevices) RevokeDevice(ctx context.Context, by, id string) error {
	n, err := strconv.ParseInt(id, 10, 64)
	if err != nil {
		return errNotThere
	}
	return k.season.RevokeDevice(ctx, by, n, "shut out at the desk")
}
