//! The records of the comparison: one set of facts, written once for fillward and once for the others.

use serde_json::{Value, json};

/// The eighteen conditions, in the order in which every engine answers.
pub(crate) const CONDITIONS: [&str; 18] = [
    "isocyanate warm",
    "polyol warm",
    "pilot hole if thick or steel",
    "stretched long enough if new",
    "stretched hard enough if new",
    "target within tyre",
    "target within rim",
    "target within wheel",
    "not cracked",
    "not bent",
    "not corroded",
    "clean",
    "dry",
    "tube new if tube type",
    "flap if needed",
    "isocyanate enough",
    "polyol enough",
    "cage strong enough",
];

/// A record to judge.
pub(crate) struct Case {
    /// What the table calls it.
    pub(crate) name: String,
    /// Whether it is timed, or judged for its answers alone.
    pub(crate) timed: bool,
    /// The conditions that are broken, where every engine must say so; `None` where a fact is missing.
    pub(crate) broken: Option<Vec<&'static str>>,
    /// The condition that looks for the missing fact.
    pub(crate) without: Option<&'static str>,
    /// The job record, as fillward reads it.
    pub(crate) record: Value,
    /// The same facts as plain numbers and words: degrees Fahrenheit, pounds per square inch, pounds, hours.
    pub(crate) plain: Value,
}

/// The facts that the conditions look at.
#[derive(Clone)]
#[expect(clippy::struct_excessive_bools, reason = "each of them is a fact that a record states")]
struct Facts {
    warmth: [f64; 2],
    on_hand: [f64; 2],
    needed: f64,
    state: &'static str,
    plies: u32,
    belts: &'static str,
    seal: &'static str,
    ratings: [f64; 3],
    dry: bool,
    contaminants: Vec<&'static str>,
    faults: Vec<&'static str>,
    needs_flap: bool,
    flap: bool,
    tube: &'static str,
    drilled: bool,
    target: f64,
    stretch_hours: f64,
    stretch_pressure: f64,
    cage: f64,
}

impl Facts {
    /// A new sixteen-ply tube-type tyre on a flat base rim: every condition applies, and every one is met.
    const fn passing() -> Self {
        Self {
            warmth: [74.5, 75.2],
            on_hand: [402.5, 418.0],
            needed: 724.5,
            state: "new",
            plies: 16,
            belts: "textile",
            seal: "tube type",
            ratings: [100.5, 96.5, 98.5],
            dry: true,
            contaminants: Vec::new(),
            faults: Vec::new(),
            needs_flap: true,
            flap: true,
            tube: "new",
            drilled: true,
            target: 90.5,
            stretch_hours: 25.5,
            stretch_pressure: 91.5,
            cage: 160.5,
        }
    }

    fn plain(&self) -> Value {
        json!({
            "material_needed": self.needed,
            "cage": {"rating": self.cage},
            "components": {
                "isocyanate": {"core_temperature": self.warmth[0], "on_hand": self.on_hand[0]},
                "polyol": {"core_temperature": self.warmth[1], "on_hand": self.on_hand[1]},
            },
            "assembly": {
                "tyre": {
                    "state": self.state, "ply_rating": self.plies, "belts": self.belts, "seal": self.seal,
                    "sidewall_maximum": self.ratings[0],
                    "interior": {"dry": self.dry, "contaminants": self.contaminants},
                },
                "rim": {"rating": self.ratings[1], "needs_flap": self.needs_flap},
                "wheel": {"rating": self.ratings[2], "faults": self.faults},
                "tube": {"state": self.tube},
                "flap": {"fitted": self.flap},
                "vent_path": {"drilled": self.drilled},
                "target": {"pressure": self.target},
                "pre_stretch": {"hours": self.stretch_hours, "pressure": self.stretch_pressure},
            },
        })
    }

    fn record(&self) -> Value {
        let psi = |number: f64| format!("{number} psi");
        let component = |side: usize| {
            let (warmth, on_hand) = (self.warmth.get(side)?, self.on_hand.get(side)?);
            Some(json!({"core_temperature": format!("{warmth} degF"), "on_hand": format!("{on_hand} lb")}))
        };
        json!({
            "record": 1,
            "local": {"material_needed": format!("{} lb", self.needed)},
            "cage": {"rating": psi(self.cage)},
            "components": {"isocyanate": component(0), "polyol": component(1)},
            "assemblies": [{
                "mark": "loader 4, left front",
                "tyre": {
                    "state": self.state, "ply_rating": self.plies, "belts": self.belts, "seal": self.seal,
                    "sidewall_maximum": psi(self.ratings[0]),
                    "interior": {"dry": self.dry, "contaminants": self.contaminants},
                },
                "rim": {"rating": psi(self.ratings[1]), "needs_flap": self.needs_flap},
                "wheel": {"rating": psi(self.ratings[2]), "faults": self.faults},
                "tube": {"state": self.tube},
                "flap": {"fitted": self.flap},
                "vent_path": {"drilled": self.drilled},
                "target": {"pressure": psi(self.target)},
                "local": {
                    "pre_stretch_hours": format!("{} h", self.stretch_hours),
                    "pre_stretch_pressure": psi(self.stretch_pressure),
                },
            }],
        })
    }

    fn case(&self, name: &str, broken: Vec<&'static str>) -> Case {
        let (record, plain) = (self.record(), self.plain());
        Case { name: name.to_owned(), timed: false, broken: Some(broken), without: None, record, plain }
    }
}

/// Breaks one condition of a passing record.
type Fault = fn(&mut Facts);

const FAULTS: [Fault; 18] = [
    |facts| facts.warmth[0] = 71.5,
    |facts| facts.warmth[1] = 68.0,
    |facts| facts.drilled = false,
    |facts| facts.stretch_hours = 23.5,
    |facts| facts.stretch_pressure = 90.0,
    |facts| facts.ratings[0] = 90.0,
    |facts| facts.ratings[1] = 90.0,
    |facts| facts.ratings[2] = 90.0,
    |facts| facts.faults = vec!["crack"],
    |facts| facts.faults = vec!["bend"],
    |facts| facts.faults = vec!["weld repair", "corrosion"],
    |facts| facts.contaminants = vec!["soap"],
    |facts| facts.dry = false,
    |facts| facts.tube = "used",
    |facts| facts.flap = false,
    |facts| facts.on_hand[0] = 362.0,
    |facts| facts.on_hand[1] = 360.5,
    |facts| facts.cage = 150.5,
];

/// Every record of the comparison: two that pass, one for each fault, one with several faults, and some with gaps.
pub(crate) fn cases() -> Vec<Case> {
    let passing = Facts::passing();
    let mut every = passing.case("a record that passes; every condition applies", Vec::new());
    every.timed = true;

    let plain = Facts {
        state: "used",
        plies: 10,
        seal: "tubeless",
        needs_flap: false,
        drilled: false,
        stretch_hours: 0.0,
        tube: "used",
        flap: false,
        ..passing.clone()
    };
    let few = plain.case("a record that passes; five conditions do not apply", Vec::new());

    let mut several = passing.clone();
    let mut broken = Vec::new();
    for (fault, name) in FAULTS.iter().zip(CONDITIONS).step_by(5) {
        fault(&mut several);
        broken.push(name);
    }
    let mut several = several.case("a record that holds for four faults", broken);
    several.timed = true;

    let mut cases = vec![every, few, several];
    for (fault, name) in FAULTS.iter().zip(CONDITIONS) {
        let mut facts = passing.clone();
        fault(&mut facts);
        cases.push(facts.case(&format!("a record that breaks `{name}`"), vec![name]));
    }
    cases.push(gap(
        &plain,
        "a core temperature missing",
        "isocyanate warm",
        "components",
        "isocyanate",
        "core_temperature",
    ));
    cases.push(gap(&plain, "the ply rating missing", "pilot hole if thick or steel", "assembly", "tyre", "ply_rating"));
    cases.push(gap(&passing, "the findings on the wheel missing", "not cracked", "assembly", "wheel", "faults"));
    cases
}

/// A record that lacks one fact, which stands in `group` of `part`.
fn gap(facts: &Facts, name: &str, condition: &'static str, part: &str, group: &str, fact: &str) -> Case {
    let mut case = facts.case(name, Vec::new());
    let record_part = if part == "assembly" { "/assemblies/0".to_owned() } else { format!("/{part}") };
    for (document, part) in [(&mut case.plain, format!("/{part}")), (&mut case.record, record_part)] {
        if let Some(group) = document.pointer_mut(&format!("{part}/{group}")).and_then(Value::as_object_mut) {
            group.remove(fact);
        }
    }
    Case { broken: None, without: Some(condition), ..case }
}
