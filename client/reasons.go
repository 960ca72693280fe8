package client

// The reasons of errors, as Error.Reason has them. The enum Reason of the contract says what each is for; a server of a
// later version may send others.
const (
	ReasonInvalidEvent     = "INVALID_EVENT"
	ReasonInvalidRequest   = "INVALID_REQUEST"
	ReasonRequestTooLarge  = "REQUEST_TOO_LARGE"
	ReasonBusy             = "BUSY"
	ReasonStopping         = "STOPPING"
	ReasonCancelled        = "CANCELLED"
	ReasonDeadlineExceeded = "DEADLINE_EXCEEDED"
	ReasonUnknownMethod    = "UNKNOWN_METHOD"
	ReasonInternal         = "INTERNAL"
	ReasonNothingKept      = "NOTHING_KEPT"
	ReasonSecretMissing    = "SECRET_MISSING"
	ReasonSecretWrong      = "SECRET_WRONG"
	ReasonSlowDown         = "SLOW_DOWN"
	ReasonForbidden        = "FORBIDDEN"
	ReasonNotFound         = "NOT_FOUND"
	ReasonAlreadyExists    = "ALREADY_EXISTS"
	ReasonRequestIDReused  = "REQUEST_ID_REUSED"
	ReasonChangedInBetween = "CHANGED_IN_BETWEEN"
	ReasonRunFull          = "RUN_FULL"
	ReasonTooManyRuns      = "TOO_MANY_RUNS"
	ReasonStoreFull        = "STORE_FULL"
	ReasonStoreUnreachable = "STORE_UNREACHABLE"
	ReasonOtherVersion     = "OTHER_VERSION"
	ReasonSequenceAhead    = "SEQUENCE_AHEAD"
	ReasonQuota            = "QUOTA"
)
