#!/bin/sh
# Writes units.csv: the size in SI of every unit that model/quantity prints, as the
# program GNU units works it out. Columns: dimension, our name of the unit, the same
# unit as GNU units spells it, the SI unit, the size.
set -eu
cd "$(dirname "$0")"
row() { printf '%s,%s,%s,%s,%s\n' "$1" "$2" "$3" "$4" "$(units -t -o %.15g "$3" "$4")"; }
{
  echo 'dimension,unit,as GNU units spells it,SI,size'
  row length mm mm m
  row length in inch m
  row length cm cm m
  row length m m m
  row length ft ft m
  row length µm micrometer m
  row mass kg kg kg
  row mass lb lb kg
  row mass t tonne kg
  row mass g g kg
  row mass oz oz kg
  row mass 'short ton' shortton kg
  row mass 'long ton' longton kg
  row force N N N
  row force kN kN N
  row force lbf lbf N
  row force daN daN N
  row force kgf kgf N
  row force kip kip N
  row force MN MN N
  row torque N·m 'N m' 'N m'
  row torque ft·lbf 'ft lbf' 'N m'
  row torque in·lbf 'inch lbf' 'N m'
  row torque kgf·m 'kgf m' 'N m'
  row torque kN·m 'kN m' 'N m'
  row torque N·mm 'N mm' 'N m'
  row stress MPa MPa Pa
  row stress ksi 'kip/inch^2' Pa
  row stress psi psi Pa
  row stress GPa GPa Pa
  row stress kPa kPa Pa
  row stress Pa Pa Pa
  row stress bar bar Pa
  row angle ° degree radian
  row angle rad radian radian
  row duration days day s
  row duration h hour s
  row duration min minute s
  row duration s s s
  row duration weeks week s
  row rate N/mm N/mm N/m
  row rate lbf/in lbf/inch N/m
  row rate kN/m kN/m N/m
  row rate N/m N/m N/m
  row rate kgf/mm kgf/mm N/m
  row rate kgf/cm kgf/cm N/m
  row 'plain number' % percent 1
  row 'plain number' mm/m mm/m 1
  row 'plain number' in/ft inch/ft 1
  # A rating written as a mass is the weight of that mass.
  row load kg 'kg gravity' N
  row load lb 'lb gravity' N
  row load t 'tonne gravity' N
  row load 'short ton' 'shortton gravity' N
} > units.csv
