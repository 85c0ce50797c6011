# The eighteen conditions of the comparison in Rego.
package fill

default isocyanate_warm := false
isocyanate_warm if input.components.isocyanate.core_temperature >= 72

default polyol_warm := false
polyol_warm if input.components.polyol.core_temperature >= 72

needs_pilot_hole if input.assembly.tyre.ply_rating > 12
needs_pilot_hole if input.assembly.tyre.belts == "steel"

default pilot_hole := false
pilot_hole if not needs_pilot_hole
pilot_hole if input.assembly.vent_path.drilled

default stretched_long := false
stretched_long if input.assembly.tyre.state != "new"
stretched_long if input.assembly.pre_stretch.hours >= 24

default stretched_hard := false
stretched_hard if input.assembly.tyre.state != "new"
stretched_hard if input.assembly.pre_stretch.pressure >= input.assembly.target.pressure

default within_tyre := false
within_tyre if input.assembly.target.pressure <= input.assembly.tyre.sidewall_maximum

default within_rim := false
within_rim if input.assembly.target.pressure <= input.assembly.rim.rating

default within_wheel := false
within_wheel if input.assembly.target.pressure <= input.assembly.wheel.rating

default not_cracked := false
not_cracked if not "crack" in input.assembly.wheel.faults

default not_bent := false
not_bent if not "bend" in input.assembly.wheel.faults

default not_corroded := false
not_corroded if not "corrosion" in input.assembly.wheel.faults

default clean := false
clean if count(input.assembly.tyre.interior.contaminants) == 0

default dry := false
dry if input.assembly.tyre.interior.dry

default tube_new := false
tube_new if input.assembly.tyre.seal != "tube type"
tube_new if input.assembly.tube.state == "new"

default flap := false
flap if not input.assembly.rim.needs_flap
flap if input.assembly.flap.fitted

default isocyanate_enough := false
isocyanate_enough if input.components.isocyanate.on_hand >= input.material_needed * 0.5

default polyol_enough := false
polyol_enough if input.components.polyol.on_hand >= input.material_needed * 0.5

default cage_strong := false
cage_strong if input.cage.rating >= input.assembly.tyre.sidewall_maximum * 1.5

answers := [
    isocyanate_warm, polyol_warm, pilot_hole, stretched_long, stretched_hard, within_tyre, within_rim, within_wheel,
    not_cracked, not_bent, not_corroded, clean, dry, tube_new, flap, isocyanate_enough, polyol_enough, cage_strong,
]
