//! Files made from the program, held in step with it.

use crate::common;

#[test]
fn record_schema() {
    let schema = fillward::record::generate_schema();
    common::in_step("schemas/job-record.schema.json", &(serde_json::to_string_pretty(&schema).unwrap() + "\n"));
}
