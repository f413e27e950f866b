package jpeg

func (d *decoder) findSeam() error { return nil }
