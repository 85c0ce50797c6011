# The same conditions the other way round, in the habit of the language: a set of what is broken.
package fill

broken contains "isocyanate warm" if input.components.isocyanate.core_temperature < 72

broken contains "polyol warm" if input.components.polyol.core_temperature < 72

needs_pilot_hole if input.assembly.tyre.ply_rating > 12
needs_pilot_hole if input.assembly.tyre.belts == "steel"

broken contains "pilot hole if thick or steel" if {
    needs_pilot_hole
    not input.assembly.vent_path.drilled
}

broken contains "stretched long enough if new" if {
    input.assembly.tyre.state == "new"
    input.assembly.pre_stretch.hours < 24
}

broken contains "stretched hard enough if new" if {
    input.assembly.tyre.state == "new"
    input.assembly.pre_stretch.pressure < input.assembly.target.pressure
}

broken contains "target within tyre" if input.assembly.target.pressure > input.assembly.tyre.sidewall_maximum

broken contains "target within rim" if input.assembly.target.pressure > input.assembly.rim.rating

broken contains "target within wheel" if input.assembly.target.pressure > input.assembly.wheel.rating

broken contains "not cracked" if "crack" in input.assembly.wheel.faults

broken contains "not bent" if "bend" in input.assembly.wheel.faults

broken contains "not corroded" if "corrosion" in input.assembly.wheel.faults

broken contains "clean" if count(input.assembly.tyre.interior.contaminants) > 0

broken contains "dry" if not input.assembly.tyre.interior.dry

broken contains "tube new if tube type" if {
    input.assembly.tyre.seal == "tube type"
    input.assembly.tube.state != "new"
}

broken contains "flap if needed" if {
    input.assembly.rim.needs_flap
    not input.assembly.flap.fitted
}

broken contains "isocyanate enough" if input.components.isocyanate.on_hand < input.material_needed * 0.5

broken contains "polyol enough" if input.components.polyol.on_hand < input.material_needed * 0.5

broken contains "cage strong enough" if input.cage.rating < input.assembly.tyre.sidewall_maximum * 1.5
