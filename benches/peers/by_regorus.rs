//! The conditions as Rego policies, run by the interpreter and by the register machine of the same crate.

use std::hint::black_box;

use regorus::languages::rego::compiler::Compiler;
use regorus::rvm::vm::RegoVM;
use regorus::{Engine, Rc, Value};

use crate::facts::{CONDITIONS, Case};
use crate::{Answer, Contender, Family, Outcome};

/// A policy and the rule that gives its result.
#[derive(Clone, Copy)]
struct Policy {
    text: &'static str,
    rule: &'static str,
}

/// One answer for each condition, false where a fact is missing.
const ANSWERS: Policy = Policy { text: include_str!("answers.rego"), rule: "data.fill.answers" };
/// The set of the broken conditions.
const BROKEN: Policy = Policy { text: include_str!("broken.rego"), rule: "data.fill.broken" };

/// The ways of asking: both policies, each interpreted and compiled for the machine.
pub(crate) fn contenders(cases: &[Case]) -> Outcome<Vec<Box<dyn Contender>>> {
    let inputs: Vec<Value> = cases.iter().map(|case| Value::from(case.plain.clone())).collect();
    let mut contenders: Vec<Box<dyn Contender>> = Vec::new();
    for (policy, interpreted, compiled) in [
        (ANSWERS, "regorus, interpreter, an answer for each", "regorus, machine, an answer for each"),
        (BROKEN, "regorus, interpreter, the set of what is broken", "regorus, machine, the set of what is broken"),
    ] {
        let mut engine = Engine::new();
        engine.add_policy(policy.rule.to_owned(), policy.text.to_owned())?;
        let rule: Rc<str> = policy.rule.into();
        let program = Compiler::compile_from_policy(&engine.compile_with_entrypoint(&rule)?, &[policy.rule])?;
        let mut machine = RegoVM::new();
        machine.load_program(program);
        let (ways, inputs) =
            ([Way::Interpreter(Box::new(engine), policy.rule), Way::Machine(Box::new(machine))], &inputs);
        for (way, name) in ways.into_iter().zip([interpreted, compiled]) {
            contenders.push(Box::new(Asked { name, way, inputs: inputs.clone() }));
        }
    }
    Ok(contenders)
}

enum Way {
    Interpreter(Box<Engine>, &'static str),
    Machine(Box<RegoVM>),
}

/// A policy ready to run and the facts of every case.
struct Asked {
    name: &'static str,
    way: Way,
    inputs: Vec<Value>,
}

impl Asked {
    /// One judgement; the input is counted by reference, so that handing it over copies nothing.
    fn ask(way: &mut Way, input: &Value) -> Outcome<Value> {
        match way {
            Way::Interpreter(engine, rule) => {
                engine.set_input(input.clone());
                Ok(engine.eval_rule((*rule).to_owned())?)
            }
            Way::Machine(machine) => {
                machine.set_input(input.clone());
                Ok(machine.execute()?)
            }
        }
    }
}

impl Contender for Asked {
    fn family(&self) -> Family {
        match self.way {
            Way::Interpreter(..) => Family::RegorusInterpreter,
            Way::Machine(_) => Family::RegorusMachine,
        }
    }

    fn name(&self) -> &'static str {
        self.name
    }

    fn answers(&mut self, case: usize) -> Outcome<Vec<Answer>> {
        let input = self.inputs.get(case).ok_or("no such case")?;
        let result = Self::ask(&mut self.way, input)?;
        if let Ok(broken) = result.as_set() {
            return Ok(CONDITIONS.iter().map(|name| Answer::of(!broken.contains(&Value::from(*name)))).collect());
        }
        Ok(result.as_array()?.iter().map(|answer| Answer::of(*answer == Value::from(true))).collect())
    }

    fn run(&mut self, case: usize, times: u32) -> Outcome<()> {
        let input = self.inputs.get(case).ok_or("no such case")?;
        for _ in 0..times {
            black_box(Self::ask(&mut self.way, black_box(input))?);
        }
        Ok(())
    }
}
