package report

import (
	"strings"
	"testing"

	"traystage/scoring"
	"traystage/scoring/words"
)

func TestMessage(t *testing.T) {
	for _, tag := range words.Tags() {
		b, o, l := northBlock(t), larkfieldOutlook(t), larkfieldPlan()
		b.Words, o.Words, l.Words = words.For(tag), words.For(tag), words.For(tag)
		golden(t, "message."+tag+".txt", []byte(b.Message()+"\n"+o.Message()+"\n"+l.Message()))
		for _, text := range []string{b.Message(), o.Message()} {
			if n := strings.Count(text, "\n"); n > 8 {
				t.Errorf("%s: %d lines are no message:\n%s", tag, n, text)
			}
		}
		if first, _, _ := strings.Cut(b.Message(), "\n"); first != words.Sentence(words.For(tag).Say(b.Order()))+"." {
			t.Errorf("%s: the message begins with %q, not with the order", tag, first)
		}
	}
	none, err := scoring.Assess(north3, nil, standards, nil, scoring.Options{Today: day(9, 16)})
	if err != nil {
		t.Fatal(err)
	}
	if got := (Block{BlockReport: none}).Message(); strings.Count(got, "\n") != 1 || !strings.HasPrefix(got, "Take the first sample of North 3") {
		t.Errorf("without a sample: %q", got)
	}
}
