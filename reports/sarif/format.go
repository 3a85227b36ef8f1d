package sarif

// The parts of SARIF 2.1.0 that a verdict needs, with its names.

type log struct {
	Schema  string `json:"$schema"`
	Version string `json:"version"`
	Runs    []run  `json:"runs"`
}

type run struct {
	Tool               tool                        `json:"tool"`
	Invocations        []invocation                `json:"invocations"`
	OriginalURIBaseIDs map[string]artifactLocation `json:"originalUriBaseIds"`
	ColumnKind         string                      `json:"columnKind"`
	Results            []result                    `json:"results"`
	Properties         runProperties               `json:"properties"`
}

type tool struct {
	Driver driver `json:"driver"`
}

type driver struct {
	Name    string `json:"name"`
	Version string `json:"version,omitempty"`
	Rules   []rule `json:"rules"`
}

type rule struct {
	ID                   string         `json:"id"`
	ShortDescription     message        `json:"shortDescription"`
	FullDescription      *message       `json:"fullDescription,omitempty"`
	Help                 *message       `json:"help,omitempty"`
	DefaultConfiguration configuration  `json:"defaultConfiguration"`
	Properties           ruleProperties `json:"properties"`
}

type configuration struct {
	Level string `json:"level"`
}

type ruleProperties struct {
	Pack string `json:"pack,omitempty"`
}

type message struct {
	Text string `json:"text"`
}

type invocation struct {
	ExecutionSuccessful bool           `json:"executionSuccessful"`
	Notifications       []notification `json:"toolExecutionNotifications,omitempty"`
}

type notification struct {
	Level     string     `json:"level"`
	Message   message    `json:"message"`
	Locations []location `json:"locations,omitempty"`
}

type result struct {
	RuleID              string            `json:"ruleId"`
	RuleIndex           int               `json:"ruleIndex"`
	Level               string            `json:"level"`
	Message             message           `json:"message"`
	Locations           []location        `json:"locations,omitempty"`
	RelatedLocations    []location        `json:"relatedLocations,omitempty"`
	PartialFingerprints map[string]string `json:"partialFingerprints"`
	Suppressions        []suppression     `json:"suppressions,omitempty"`
	Properties          resultProperties  `json:"properties"`
}

type suppression struct {
	Kind          string    `json:"kind"`
	Status        string    `json:"status"`
	Justification string    `json:"justification"`
	Location      *location `json:"location,omitempty"`
}

type location struct {
	ID               int               `json:"id,omitempty"`
	PhysicalLocation *physicalLocation `json:"physicalLocation,omitempty"`
	LogicalLocations []logicalLocation `json:"logicalLocations,omitempty"`
	Message          *message          `json:"message,omitempty"`
}

type physicalLocation struct {
	ArtifactLocation artifactLocation `json:"artifactLocation"`
	Region           *region          `json:"region,omitempty"`
}

type artifactLocation struct {
	URI         string   `json:"uri,omitempty"`
	URIBaseID   string   `json:"uriBaseId,omitempty"`
	Description *message `json:"description,omitempty"`
}

type region struct {
	StartLine   int `json:"startLine"`
	StartColumn int `json:"startColumn"`
	EndLine     int `json:"endLine,omitempty"`
	EndColumn   int `json:"endColumn,omitempty"`
}

type logicalLocation struct {
	Name               string `json:"name"`
	FullyQualifiedName string `json:"fullyQualifiedName"`
}

// What SARIF has no name for.

type runProperties struct {
	Decisions []decision `json:"decisions"`
}

type decision struct {
	File     string `json:"file"`
	Move     string `json:"move"`
	Decision string `json:"decision"`
	State    string `json:"state"`
	Rules    string `json:"rules"`
}

type resultProperties struct {
	Move    string   `json:"move,omitempty"`
	Outcome string   `json:"outcome,omitempty"`
	Place   string   `json:"place,omitempty"`
	Steps   []string `json:"steps,omitempty"`
}
