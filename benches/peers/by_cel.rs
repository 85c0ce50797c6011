//! The conditions as expressions of the Common Expression Language.

use std::hint::black_box;

use cel::{Context, Program, Value};

use crate::facts::{CONDITIONS, Case};
use crate::{Answer, Contender, Family, Outcome};

/// One expression for each condition, true when it is met.
const EXPRESSIONS: [&str; CONDITIONS.len()] = [
    "components.isocyanate.core_temperature >= 72.0",
    "components.polyol.core_temperature >= 72.0",
    "!(assembly.tyre.ply_rating > 12u || assembly.tyre.belts == 'steel') || assembly.vent_path.drilled",
    "assembly.tyre.state != 'new' || assembly.pre_stretch.hours >= 24.0",
    "assembly.tyre.state != 'new' || assembly.pre_stretch.pressure >= assembly.target.pressure",
    "assembly.target.pressure <= assembly.tyre.sidewall_maximum",
    "assembly.target.pressure <= assembly.rim.rating",
    "assembly.target.pressure <= assembly.wheel.rating",
    "!('crack' in assembly.wheel.faults)",
    "!('bend' in assembly.wheel.faults)",
    "!('corrosion' in assembly.wheel.faults)",
    "size(assembly.tyre.interior.contaminants) == 0",
    "assembly.tyre.interior.dry",
    "assembly.tyre.seal != 'tube type' || assembly.tube.state == 'new'",
    "!assembly.rim.needs_flap || assembly.flap.fitted",
    "components.isocyanate.on_hand >= material_needed * 0.5",
    "components.polyol.on_hand >= material_needed * 0.5",
    "cage.rating >= assembly.tyre.sidewall_maximum * 1.5",
];

/// The ways of asking: a program for each condition, or one program that makes a list of all answers.
pub(crate) fn contenders(cases: &[Case]) -> Outcome<Vec<Box<dyn Contender>>> {
    let each = EXPRESSIONS.iter().map(|text| Program::compile(text)).collect::<Result<_, _>>()?;
    let one = vec![Program::compile(&format!("[{}]", EXPRESSIONS.join(", ")))?];
    Ok(vec![
        Box::new(Asked { name: "cel, a program for each condition", programs: each, contexts: contexts(cases)? }),
        Box::new(Asked { name: "cel, one program for all conditions", programs: one, contexts: contexts(cases)? }),
    ])
}

fn contexts(cases: &[Case]) -> Outcome<Vec<Context<'static, 'static>>> {
    let mut contexts = Vec::new();
    for case in cases {
        let mut context = Context::default();
        for (name, value) in case.plain.as_object().ok_or("the facts are no mapping")? {
            context.add_variable(name.as_str(), cel::to_value(value)?)?;
        }
        contexts.push(context);
    }
    Ok(contexts)
}

/// Programs and the facts of every case.
struct Asked {
    name: &'static str,
    programs: Vec<Program>,
    contexts: Vec<Context<'static, 'static>>,
}

impl Asked {
    fn context(&self, case: usize) -> Outcome<&Context<'static, 'static>> {
        Ok(self.contexts.get(case).ok_or("no such case")?)
    }
}

impl Contender for Asked {
    fn family(&self) -> Family {
        Family::Cel
    }

    fn name(&self) -> &'static str {
        self.name
    }

    fn answers(&mut self, case: usize) -> Outcome<Vec<Answer>> {
        let context = self.context(case)?;
        let mut answers = Vec::new();
        for program in &self.programs {
            match program.execute(context) {
                Ok(Value::Bool(met)) => answers.push(Answer::of(met)),
                Ok(Value::List(all)) => {
                    answers.extend(all.iter().map(|one| Answer::of(matches!(one, Value::Bool(true)))));
                }
                // An error is neither yes nor no; in one program it takes all the other answers with it.
                Err(_) if self.programs.len() == 1 => answers = vec![Answer::NotShown; CONDITIONS.len()],
                Err(_) => answers.push(Answer::NotShown),
                Ok(other) => return Err(format!("{other:?} is no answer").into()),
            }
        }
        Ok(answers)
    }

    fn run(&mut self, case: usize, times: u32) -> Outcome<()> {
        let context = self.context(case)?;
        for _ in 0..times {
            for program in &self.programs {
                black_box(program.execute(black_box(context))?);
            }
        }
        Ok(())
    }
}
