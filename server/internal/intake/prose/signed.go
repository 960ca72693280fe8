package prose

// greets reports whether a line is a greeting or a sign-off: "Hi Steph,", "Best wishes, Ann".
func (r *reader) greets(s *statement) bool {
	return s.l.Mark == 0 && len(s.ph) > 0 && len(s.ph) < 9 && s.ph[0].Has("greet") && !r.NameLike(&s.ph[0])
}
