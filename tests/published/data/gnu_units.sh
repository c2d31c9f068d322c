#!/bin/bash
# Writes gnu_units.csv: what GNU Units says of every unit of compiler/units/unit_table.h.
# Debian package `units`. Run it where the table has a new unit, after adding the unit below:
#
#   bash tests/published/data/gnu_units.sh > tests/published/data/gnu_units.csv
set -euo pipefail
export LC_ALL=C.UTF-8

ask() { # FROM NUMBER TO YOU_HAVE YOU_WANT
    local result
    result=$(units -t -o %.17g "$4" "$5")
    [[ $result =~ ^-?[0-9.]+(e[-+][0-9]+)?$ ]] || { echo "$4 in $5: $result" >&2; exit 1; }
    printf '%s,%s,%s,%s,%s,%s\n' "$1" "$2" "$3" "$4" "$5" "$result"
}

# unit | its name in GNU Units | base units
units_of_the_table='
dC|degC|K
dF|degF|K
dK|K|K
C/h|degC/hour|K/s
C/min|degC/minute|K/s
F/h|degF/hour|K/s
F/min|degF/minute|K/s
K/h|K/hour|K/s
K/min|K/minute|K/s
s|second|s
m|minute|s
min|minute|s
h|hour|s
d|day|s
mm|millimeter|m
cm|centimeter|m
metre|meter|m
in|inch|m
ft|foot|m
mm2|millimeter^2|m^2
cm2|centimeter^2|m^2
metre2|meter^2|m^2
in2|inch^2|m^2
ft2|foot^2|m^2
ml|milliliter|m^3
L|liter|m^3
cm3|centimeter^3|m^3
metre3|meter^3|m^3
in3|inch^3|m^3
ft3|foot^3|m^3
g|gram|kg
kg|kilogram|kg
lb|pound|kg
oz|ounce|kg
W|watt|kg m^2/s^3
kW|kilowatt|kg m^2/s^3
BTU/h|btu_IT/hour|kg m^2/s^3
J|joule|kg m^2/s^2
kJ|kilojoule|kg m^2/s^2
MJ|megajoule|kg m^2/s^2
Wh|watt hour|kg m^2/s^2
kWh|kilowatt hour|kg m^2/s^2
BTU|btu_IT|kg m^2/s^2
A|ampere|A
Pa|pascal|kg/m s^2
kPa|kilopascal|kg/m s^2
MPa|megapascal|kg/m s^2
GPa|gigapascal|kg/m s^2
mbar|millibar|kg/m s^2
bar|bar|kg/m s^2
psi|psi|kg/m s^2
%|percent|1
ppm|ppm|1
ppm/K|ppm/K|1/K
ppm/F|ppm/degF|1/K
/K|1/K|1/K
W/metre/K|watt/meter K|kg m/s^3 K
W/metre/K/K|watt/meter K^2|kg m/s^3 K^2
J/kg/K|joule/kilogram K|m^2/s^2 K
kJ/kg/K|kilojoule/kilogram K|m^2/s^2 K
BTU/lb/F|btu_IT/pound degF|m^2/s^2 K
J/K|joule/K|kg m^2/s^2 K
kJ/K|kilojoule/K|kg m^2/s^2 K
W/K|watt/K|kg m^2/s^3 K
W/metre2|watt/meter^2|kg/s^3
kW/metre2|kilowatt/meter^2|kg/s^3
W/metre2/K|watt/meter^2 K|kg/s^3 K
J/kg|joule/kilogram|m^2/s^2
kJ/kg|kilojoule/kilogram|m^2/s^2
MJ/kg|megajoule/kilogram|m^2/s^2
kWh/kg|kilowatt hour/kilogram|m^2/s^2
BTU/lb|btu_IT/pound|m^2/s^2
metre2/s|meter^2/second|m^2/s
mm2/s|millimeter^2/second|m^2/s
C/mm|degC/millimeter|K/m
F/in|degF/inch|K/m
kg/metre3|kilogram/meter^3|kg/m^3
g/cm3|gram/centimeter^3|kg/m^3
lb/ft3|pound/foot^3|kg/m^3
h/mm|hour/millimeter|s/m
h/cm|hour/centimeter|s/m
min/mm|minute/millimeter|s/m
h/in|hour/inch|s/m
kg/h|kilogram/hour|kg/s
lb/h|pound/hour|kg/s
metre3/h|meter^3/hour|m^3/s
L/min|liter/minute|m^3/s
ft3/h|foot^3/hour|m^3/s
/kWh|US$/kilowatt hour|US$ s^2/kg m^2
/MJ|US$/megajoule|US$ s^2/kg m^2
/kg|US$/kilogram|US$/kg
/lb|US$/pound|US$/kg
/L|US$/liter|US$/m^3
/metre3|US$/meter^3|US$/m^3
/ft3|US$/foot^3|US$/m^3
'

echo "# Source: $(units --version | head -n 1), Debian package units $(dpkg-query -W -f '${Version}' units)."
echo '# Made by: bash tests/published/data/gnu_units.sh > tests/published/data/gnu_units.csv'
echo '# Each result: units -t -o %.17g "YOU_HAVE" "YOU_WANT". `to`: a unit of the table, or base for base units'
echo '# (a point on a temperature scale: degrees Celsius).'
echo 'from,number,to,you_have,you_want,result'

while IFS='|' read -r unit name base; do
    [ -n "$unit" ] || continue
    for number in 1 12.5 0.03; do
        ask "$unit" "$number" base "$number $name" "$base"
    done
done <<< "$units_of_the_table"

# Points on a scale: functions in GNU Units.
for number in -273.15 -40 0 100 573.4 600 1280; do
    ask C "$number" base "tempC($number)" tempC
    ask C "$number" F "tempC($number)" tempF
done
for number in -459 -40 0 32 212 1000 1112 2345.6; do
    ask F "$number" base "tempF($number)" tempC
    ask F "$number" C "tempF($number)" tempC
done
for number in 0 273.15 873 873.15 1500; do
    ask K "$number" base "tempK($number)" tempC
    ask K "$number" F "tempK($number)" tempF
done
# Differences and rates between the scales.
for number in 1 5 100; do
    ask dC "$number" dF "$number degC" degF
    ask dF "$number" dC "$number degF" degC
    ask C/h "$number" F/h "$number degC/hour" degF/hour
    ask F/min "$number" C/h "$number degF/minute" degC/hour
done
