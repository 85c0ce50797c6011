use super::*;

#[test]
fn lines_are_put_into_words() {
    let figures = Figures::from([
        (
            "assemblies[0]".to_owned(),
            [
                ("lowest_rating".to_owned(), "70 psi".to_owned()),
                ("diameter_of_alike".to_owned(), "null .tyre.overall_diameter".to_owned()),
            ]
            .into(),
        ),
        (String::new(), [("pump_cycles".to_owned(), "[720, 1275]".to_owned())].into()),
    ]);
    let facts =
        BTreeMap::from([(".target.pressure".to_owned(), vec!["58 psi (between 57.6 and 58.4 psi)".to_owned()])]);
    let judged_at = "2026-03-04T09:30:00-06:00";
    let told = ToldElsewhere { figures: Some(&figures), facts, judged_at, ..ToldElsewhere::default() };
    for (line, due) in [
        (
            "gauges[0].range.to 100 psi >= .target.pressure",
            "gauges[0] range to: 100 psi, at least target pressure (58 psi (between 57.6 and 58.4 psi))",
        ),
        (
            ".target.pressure 58 psi [57.6, 58.4] <= 78 psi .rim.rating",
            "target pressure: 58 psi (between 57.6 and 58.4 psi), at most 78 psi, rim rating",
        ),
        (
            ".target.operating_pressure 57 psi >= [29.4, 30.6] psi .target.pressure (need)",
            "target operating pressure: 57 psi, at least a value between 29.4 and 30.6 psi, which is target pressure with the limit need",
        ),
        (
            "air_stage.stand_off 9 ft >= 10 ft (stand_off) = false",
            "air stage stand off: 9 ft (asked: at least 10 ft (limit stand_off); it is not so)",
        ),
        (".wheel.faults []", "wheel faults: none"),
        ("workspace.spill_kit is true", "workspace spill kit: yes"),
        (
            ".rim.width 5 in <= 6 in (most) > 4 in (least)",
            "rim width: 5 in, at most 6 in (limit most), above 4 in (limit least)",
        ),
        (
            ".seated.at 08:25 >= today within 12 h (shift)",
            "seated at: 4 March 2026 08:25 (-06:00), not earlier than the day of the start, no older than 12 h (limit shift) at the start",
        ),
        (
            ".seated.at 2026-03-03T16:10 before 08:25 .tried",
            "seated at: 3 March 2026 16:10 (-06:00), before 4 March 2026 08:25 (-06:00), tried",
        ),
        (
            ".tyre.casing.damage null for_each = unknown",
            "tyre casing damage: not recorded (asked: for each; that cannot be told)",
        ),
        (
            "mix.hardness_least 52 >= 10 (softest)",
            "mix hardness least: 52 Shore A, at least 10 Shore A (limit softest)",
        ),
        ("sample.hardness [50, 54]", "sample hardness: between 50 and 54 Shore A"),
        (".lot 'PS_1 = false'; 'it''s = false'", "lot: 'PS_1 = false'; 'it''s = false'"),
        (
            ".core_temperature 75.2 degF [74.7, 75.7]; 74.6 degF >= 72 degF (a/b)",
            "core temperature: 75.2 °F (between 74.7 and 75.7 °F); 74.6 °F, at least 72 °F (limit a/b)",
        ),
        (
            ".target.operating_pressure 57 psi <= .figure.lowest_rating",
            "target operating pressure: 57 psi, at most lowest rating (computed: 70 psi)",
        ),
        (
            "pump.mixer_cycles_left 4200 >= figure.pump_cycles",
            "pump mixer cycles left: 4200, at least pump cycles (computed: between 720 and 1275)",
        ),
        (".figure.tyre_maximum", "tyre maximum (computed)"),
        (".figure.axle_matches true", "axle matches (computed: yes)"),
        (".figure.diameter_of_alike", "diameter of alike (not computed: tyre overall diameter)"),
        (
            ".rim.kind 'multi-piece' is_not 'multi-piece' = false",
            "rim kind: 'multi-piece' (asked: is not 'multi-piece'; it is not so)",
        ),
        (".sheet.least 65 degF recorded false = false", "sheet least: 65 °F (asked: not recorded; it is not so)"),
        ("cure.flat true", "cure flat: yes"),
    ] {
        assert_eq!(line_in_words(line, &told), due);
    }
    // What is met although it is not so was asked for the other way round.
    let met = ToldElsewhere { as_demanded: true, ..ToldElsewhere::default() };
    assert_eq!(line_in_words(".rim.kind 'b' is 'a' = false", &met), "rim kind: 'b', not 'a'");
    assert_eq!(
        line_in_words("a.b 2 <= 3 psi .figure.lowest_rating", &ToldElsewhere::default()),
        "a b: 2, at most 3 psi, lowest rating (computed)"
    );
    let named = limits("x '(no)' <= 3 (one) >= 4 (pack/two)");
    assert_eq!(named, ["one", "pack/two"]);
}
