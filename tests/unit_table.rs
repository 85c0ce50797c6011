//! The table of conversions that an oracle outside Rust holds against an independent library of units.
//!
//! The table is made by the program and committed, so that the oracle needs no way into the library. It covers every
//! ordered pair of units of a dimension, and the value of each unit in base units, over numbers written in every form
//! that a record may use. Results are exact fractions.

use std::fmt::Write as _;

use fillward::units::{Dimension, Exact, Quantity};

use crate::common;

/// Numbers as a record writes them: zero, shop values, limits and their neighbours, fractions of an inch, the fixed
/// points of the temperature scales, very small and very large ones.
const NUMBERS: [&str; 24] = [
    "0",
    "1",
    "-40",
    "32",
    "71.999",
    "72",
    "212",
    "-459.67",
    "273.15",
    "105",
    "157.5",
    "1030",
    "0.1",
    "0.25",
    "9.75",
    "16 1/2",
    "5 5/32",
    "1/8",
    "-1/3",
    "63/64",
    "22/7",
    "0.000000001",
    "999999.999",
    "123456789012.5",
];

/// The name of the base unit of a dimension in the table, where it is not itself a unit of the dimension.
const BASE: &str = "base";

#[test]
fn the_generated_table_is_in_step() {
    common::in_step("tests/oracles/conversions.csv", &table());
}

/// The families that a local fact may be of are written by hand in the schema of packs; a dimension that is not there could
/// be used by the base pack alone. A difference of temperatures is spelt as a temperature, and a count is a kind of its own.
#[test]
fn the_schema_of_packs_names_every_family() {
    let schema: serde_json::Value = serde_json::from_str(&common::read("schemas/rule-pack.schema.json")).unwrap();
    let named = schema["$defs"]["fact"]["properties"]["of"]["enum"].as_array().unwrap();
    let named: Vec<&str> = named.iter().map(|name| name.as_str().unwrap()).collect();
    let ours: Vec<&str> = Dimension::ALL
        .into_iter()
        .filter(|dimension| !matches!(dimension, Dimension::TemperatureDifference | Dimension::Count))
        .map(Dimension::name)
        .collect();
    assert_eq!(named, ours);
}

fn table() -> String {
    let mut table = String::from("dimension,number,unit,to,result\n");
    for dimension in Dimension::ALL {
        for &unit in dimension.units() {
            for number in NUMBERS {
                let text = format!("{number} {}", unit.symbol());
                let quantity = Quantity::parse(&text, dimension).unwrap();
                assert_eq!(quantity.unit(), unit, "{text}");
                let mut row = |to: &str, result: Exact| {
                    let (name, from) = (dimension.name(), unit.symbol());
                    writeln!(table, "{name},{number},{from},{to},{}/{}", result.numer(), result.denom()).unwrap();
                };
                row(BASE, quantity.base());
                for &to in dimension.units().iter().filter(|&&to| to != unit) {
                    row(to.symbol(), quantity.in_unit(to).unwrap().value());
                }
            }
        }
    }
    table
}
