//! What the cures of the base pack say of air and filling, sentence by sentence and step by step: nothing is let out of what
//! is filled, what was let down comes back by its check, and a pump that was shut off is switched on where it runs.

use fillward::pack::PackSet;
use fillward::vocabulary::HoldPoint;

/// The sentences of a text.
fn sentences(text: &str) -> impl Iterator<Item = &str> {
    text.split(['.', ';', ':']).map(str::trim).filter(|sentence| !sentence.is_empty())
}

/// The sentences of the cures that are told at a hold point after the fill, each with its rule.
fn told_when_filled(packs: &PackSet) -> Vec<(&str, &str)> {
    let rules = packs.packs().iter().flat_map(|pack| &pack.rules);
    let late = rules.filter(|rule| rule.asked_at.iter().any(|point| point >= HoldPoint::AfterFill));
    late.flat_map(|rule| {
        let steps = rule.told.put_right.texts();
        steps.flat_map(|step| sentences(step)).map(|sentence| (rule.name.as_str(), sentence))
    })
    .collect()
}

/// From the fill on what is inside is under pressure, and whoever takes the core out of it is shot at: no sentence that is
/// told then speaks of air that comes out, of a core or of a wire, unless it says itself that it is for what holds nothing
/// but air. Each sentence is held by itself, since a tired reader reads no further.
#[test]
fn nothing_is_let_out_of_what_is_filled_by_any_sentence() {
    let opens = [
        "air out",
        "air is out",
        "air comes out",
        "let the air",
        "let it down",
        "let down",
        "valve core",
        "core out",
        "wire",
    ];
    let bounds = ["nothing but air", "nothing was filled in", "before it is filled"];
    let packs = PackSet::base().unwrap();
    let (mut bounded, mut wrong) = (0, Vec::new());
    for (rule, sentence) in told_when_filled(&packs) {
        let text = sentence.to_lowercase();
        if opens.iter().any(|words| text.contains(words)) {
            let is_bounded = bounds.iter().any(|words| text.contains(words));
            bounded += usize::from(is_bounded);
            wrong.extend((!is_bounded).then(|| format!("{rule}: {sentence}")));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert!(bounded >= 5, "{bounded}");
}

/// Of a rule that lets the air out before the fill the tyre comes back by the check before air, or it is rejected: else the
/// pump would start on what has no air, and whose beads nobody saw since.
#[test]
fn what_was_let_down_comes_back_by_the_check_before_air() {
    let packs = PackSet::base().unwrap();
    let air_out = packs.air_out().unwrap();
    let back = ["at the hold point before air", "reject the tyre"];
    let (mut tried, mut wrong) = (0, Vec::new());
    for rule in packs.packs().iter().flat_map(|pack| &pack.rules) {
        let cure = &rule.told.put_right;
        if !rule.asked_at.contains(HoldPoint::BeforeFill) || cure.air.is_none() {
            continue;
        }
        let last_out = cure.texts().enumerate().filter(|(_, step)| air_out.contains(step)).map(|(at, _)| at).last();
        if !cure.wants_air_out() && last_out.is_none() {
            continue;
        }
        tried += 1;
        let behind = cure.texts().skip(last_out.unwrap_or(0)).map(|step| step.to_lowercase()).collect::<Vec<_>>();
        if !behind.iter().any(|step| back.iter().any(|words| step.contains(words))) {
            wrong.push(rule.name.as_str());
        }
    }
    assert!(wrong.is_empty(), "{wrong:?}");
    assert!(tried > 60, "{tried}");
}

/// What is told of a filled assembly is no step of a rule that is asked of air: it is neither under filling nor to be left.
#[test]
fn before_the_fill_nothing_is_said_to_be_filled() {
    let packs = PackSet::base().unwrap();
    let step = "leave the assembly in the cage, on its stand or on its machine";
    let mut late = 0;
    for rule in packs.packs().iter().flat_map(|pack| &pack.rules) {
        let tells = rule.told.put_right.texts().any(|text| text.to_lowercase().starts_with(step));
        let is_early = rule.asked_at.iter().any(|point| point < HoldPoint::AfterFill);
        assert!(!tells || !is_early, "{}", rule.name);
        late += usize::from(tells);
    }
    assert!(late > 30, "{late}");
}

/// A pump that a step has shut off is switched on by the step that runs it, with hands and face off its open ends.
#[test]
fn a_pump_that_was_shut_off_runs_only_when_it_is_switched_on() {
    let packs = PackSet::base().unwrap();
    let mut run = 0;
    for rule in packs.packs().iter().flat_map(|pack| &pack.rules) {
        let steps: Vec<String> = rule.told.put_right.texts().map(|step| step.to_lowercase()).collect();
        let Some(off) = steps.iter().position(|step| step.contains("keep it shut off")) else { continue };
        for step in steps.iter().skip(off + 1).filter(|step| step.contains("run both sides")) {
            let (before, _) = step.split_once("run both sides").unwrap();
            assert!(
                before.contains("switch the pump on again") && before.contains("off the open ends"),
                "{}: {step}",
                rule.name
            );
            run += 1;
        }
    }
    assert!(run >= 4, "{run}");
}

/// Whoever runs the pump to find something out has the hose end off the tyre: a step that does it says so itself, and that
/// something open catches the mix. Filling on is another thing, and is told apart.
#[test]
fn a_step_that_runs_the_pump_says_where_the_hose_end_is() {
    let runs = ["number of cycles", "ten cycles", "start the pump", "switch the pump on", "run the pump", "pumped off"];
    let packs = PackSet::base().unwrap();
    let (mut tried, mut wrong) = (0, Vec::new());
    for rule in packs.packs().iter().flat_map(|pack| &pack.rules) {
        for step in rule.told.put_right.texts().map(|step| step.to_lowercase()) {
            let runs_it = runs.iter().filter_map(|words| step.find(words)).min();
            let Some(at) = runs_it.filter(|_| !step.contains("not start the pump")) else { continue };
            tried += 1;
            // By the end of the sentence at the latest: nobody reads on before the pump runs.
            let (before, rest) = step.split_at(at);
            let told = format!("{before}{}", rest.split('.').next().unwrap_or(rest));
            let is_clamped =
                told.contains("clamp") && told.contains("end") || told.contains("pumped off into the open");
            let is_caught = ["container", "cup"].iter().any(|words| step.contains(words));
            if !is_clamped || !is_caught {
                wrong.push(format!("{}: {step}", rule.name));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert!(tried >= 10, "{tried}");
}
