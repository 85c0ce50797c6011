use super::*;
use crate::record::shape::tests::slips;

#[test]
fn what_is_seen_to_fit_fits_the_schema() {
    let text = include_bytes!("../../../../shared/demo/shop.yaml");
    let demo = Document::read("shop.yaml", text).unwrap();
    assert!(shape::fits(demo.root()), "the demo's shop file is taken without its schema");
    let slips = slips(demo.root());
    let (mut taken, mut refused) = (0, 0);
    for slip in slips {
        let document = Document::composed(demo.source().clone(), slip);
        if shape::fits(document.root()) {
            taken += 1;
            if let Err(faults) = by_schema(&document) {
                panic!("taken, and the schema refuses it: {faults:?}");
            }
        } else {
            refused += 1;
        }
    }
    assert!(taken > 500 && refused > 1500, "{taken} taken, {refused} refused");
}
