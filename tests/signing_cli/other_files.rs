//! A file of another sort than the one that is asked for: told by its name wherever it is given, since nothing else in it is
//! meant for that place.

use super::verify::{FILE, signed};
use crate::common;
use crate::shop::folder::{MAIRE, ODILE, TRUST};

/// A sort: what reports call it, and a file of it.
type Sort<'f> = (&'static str, &'f str);

#[test]
fn every_other_file_is_told_by_its_name_at_every_place() {
    let shop = signed();
    shop.put("settings.yaml", format!("settings: 1\ntrust: trust.json\nowners: [{}]\n", TRUST[3]));
    shop.put("shop.yaml", common::read("shared/demo/shop.yaml"));
    shop.put("local.yaml", common::local_pack("local", "Tamsin Brandt"));
    let private = format!("{ODILE}.key.pem");
    let sorts: [Sort<'_>; 7] = [
        ("a job record", "job.yaml"),
        ("a shop file", "shop.yaml"),
        ("a rule pack", "local.yaml"),
        ("the settings of a shop", "settings.yaml"),
        ("a checklist", FILE),
        ("a trust file", "trust.json"),
        ("a private key", &private),
    ];
    let zone = ["--zone", "America/Chicago"];
    // The words before the file, those behind it, and the sorts that may stand there.
    let places: [(&[&str], &[&str], &[&str]); 10] = [
        (&["check"], &zone, &["a job record"]),
        (&["figures"], &zone, &["a job record"]),
        (&["check", "job.yaml", "--shop"], &zone, &["a shop file"]),
        (&["check", "job.yaml", "--pack"], &zone, &["a rule pack"]),
        (&["shop", "check"], &[], &["a shop file"]),
        (&["pack", "check"], &[], &["a rule pack"]),
        (&["record", "new", "--from"], &[], &["a job record"]),
        (&["check", "job.yaml", "--settings"], &zone, &["the settings of a shop"]),
        (&["show"], &[], &["a checklist"]),
        (&["verify"], &TRUST, &["a checklist"]),
    ];
    let secret = shop.read(&private);
    let secret: Vec<&str> = secret.lines().filter(|line| !line.starts_with('-')).collect();
    let mut told = 0;
    for (before, behind, due) in places {
        for (called, file) in sorts.iter().filter(|(called, _)| !due.contains(called)) {
            let words = [before, &[*file], behind].concat();
            let mut ran = shop.run(&words).exits(2).says(&[called]);
            for line in &secret {
                ran = ran.never_says(line);
            }
            let faults = [&ran.out, &ran.err].map(|text| text.matches("FAULT").count());
            assert!(faults.iter().sum::<usize>() <= 1, "{words:?}: {ran:?}");
            told += 1;
        }
    }
    assert_eq!(told, places.len() * (sorts.len() - 1));
    assert!(shop.run(&["show", &format!("{MAIRE}.pub.pem")]).exits(2).err.contains("a public key"));
}
