package facts

import (
	"setdown/model/quantity"
	"setdown/model/schema"
)

func value(name string, dim quantity.Dimension, doc string) schema.Field {
	return schema.Field{Name: name, Type: schema.Quantity, Dim: dim, Doc: doc}
}

// Policy is the kind of the policy values: the figures that are a choice and
// not a fact. The built-in values stand beside the built-in rules; a builder's
// own pack may set others, and the report prints those that were used.
var Policy = &schema.Kind{Name: "policy", Item: "policy value", Single: true, Doc: "figures that are a choice", Fields: []schema.Field{
	value("design_factor", quantity.Number, "load is multiplied by it before it is compared with yield, buckling or a rating"),
	value("side_push", quantity.Number, "sideways push as a share of the weight for lower, lift and rest"),
	value("side_push_roll", quantity.Number, "sideways push as a share of the weight for roll"),
	value("small_load", quantity.Number, "an item loaded above this share of the weight counts as carrying the vehicle"),
	value("torque_share", quantity.Number, "least share of the wanted torque that counts as torqued"),
	value("preload_max", quantity.Number, "most preload as a share of the proof load"),
	value("nut_factor_plain", quantity.Number, "K in T = K·d·F for plain threads"),
	value("nut_factor_dry", quantity.Number, "K in T = K·d·F for dry or plated threads"),
	value("nut_factor_lubricated", quantity.Number, "K in T = K·d·F for oiled or greased threads"),
	value("tack_strength", quantity.Number, "share of its computed strength that a tack may count for when it carries"),
	value("axial_share", quantity.Number, "axial rating of a spherical bearing as a share of its radial rating when the maker gives none"),
	value("age_limit", quantity.Duration, "a finding older than this counts as not recorded"),
	value("age_caution", quantity.Duration, "a finding older than this is a caution"),
	value("signoff_age", quantity.Duration, "a sign-off older than this no longer stands"),
	value("tip_least", quantity.Length, "least distance of the centre of gravity from the edge of the supports; below it the move is held"),
	value("tip_margin", quantity.Length, "distance of the centre of gravity from the edge of the supports below which there is a caution"),
	value("tip_share", quantity.Number, "least distance of the centre of gravity from the edge as a share of the span"),
	value("pad_share", quantity.Number, "least share of the weight on one hoist pad"),
	value("slope_hold", quantity.Number, "steepest floor"),
	value("slope_caution", quantity.Number, "floor steeper than this is a caution"),
	value("pitch_hold", quantity.Angle, "most pitch on stands"),
	value("pitch_caution", quantity.Angle, "pitch above this is a caution"),
	value("stage", quantity.Length, "most height in one go"),
	value("kg_a_head", quantity.Mass, "most mass a person lifts"),
	value("mirror_caution", quantity.Length, "left–right difference of a hard point that is a caution"),
	value("stack_error", quantity.Length, "most that a spacer stack may differ from its gap"),
	value("bore_hold", quantity.Length, "most play across a pivot"),
	value("bore_caution", quantity.Length, "play across a pivot that is a caution"),
}}
