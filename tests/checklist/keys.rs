//! Keys and files across tools: what fillward writes, openssl reads, and the other way round.

use std::fs;
use std::path::Path;
use std::process::Command;

use base64ct::{Base64UrlUnpadded, Encoding};
use fillward::checklist::canonical;
use fillward::checklist::keys::{PublicKey, SecretKey};
use serde_json::Value;

use crate::common;
use crate::shop::{ODILE, Shop, key, passing};

/// Runs openssl 3 in a folder and gives what it prints; its failure is this test's.
fn openssl(folder: &Path, arguments: &[&str]) -> String {
    let output = Command::new("openssl").args(arguments).current_dir(folder).output().unwrap();
    assert!(output.status.success(), "openssl {arguments:?}: {}", String::from_utf8_lossy(&output.stderr));
    String::from_utf8(output.stdout).unwrap()
}

#[test]
#[ignore = "needs openssl 3"]
fn openssl_reads_the_encrypted_private_key() {
    let folder = tempfile::tempdir().unwrap();
    let pem = key(ODILE).to_encrypted_pem(b"correct cure", &[3; 16], [4; 16]).unwrap();
    fs::write(folder.path().join("key.pem"), pem.as_bytes()).unwrap();
    let public = openssl(folder.path(), &["pkey", "-in", "key.pem", "-passin", "pass:correct cure", "-pubout"]);
    assert_eq!(public, key(ODILE).public().to_pem());
    let outer = openssl(folder.path(), &["asn1parse", "-in", "key.pem"]);
    for part in ["PBES2", "PBKDF2", "hmacWithSHA256", "aes-256-cbc", ":0927C0"] {
        assert!(outer.contains(part), "{part} is not in {outer}");
    }
    // PKCS#8 version 1: the older readers refuse version 2, which carries the public key too.
    let plain =
        openssl(folder.path(), &["pkey", "-in", "key.pem", "-passin", "pass:correct cure", "-out", "plain.pem"]);
    assert_eq!(plain, "");
    let inner = openssl(folder.path(), &["asn1parse", "-in", "plain.pem"]);
    assert!(inner.lines().nth(1).unwrap().ends_with(":00"), "{inner}");
}

#[test]
#[ignore = "needs openssl 3"]
fn fillward_reads_a_key_that_openssl_made() {
    let folder = tempfile::tempdir().unwrap();
    openssl(folder.path(), &["genpkey", "-algorithm", "ed25519", "-out", "plain.pem"]);
    let public = openssl(folder.path(), &["pkey", "-in", "plain.pem", "-pubout"]);
    let known = PublicKey::from_pem(&public).unwrap();
    openssl(
        folder.path(),
        &[
            "pkcs8",
            "-topk8",
            "-in",
            "plain.pem",
            "-out",
            "key.pem",
            "-passout",
            "pass:x",
            "-v2",
            "aes-256-cbc",
            "-v2prf",
            "hmacWithSHA256",
            "-iter",
            "600000",
        ],
    );
    let secret =
        SecretKey::from_encrypted_pem(&fs::read_to_string(folder.path().join("key.pem")).unwrap(), b"x").unwrap();
    assert_eq!(secret.public(), &known);
}

/// What an auditor does: rebuild the signing input with a plain JSON library and ask openssl.
#[test]
#[ignore = "needs openssl 3"]
fn openssl_verifies_a_checklist_and_refuses_a_changed_one() {
    let folder = tempfile::tempdir().unwrap();
    let file = Shop::new().signed(&passing());
    let mut value: Value = serde_json::from_slice(&file).unwrap();
    fs::write(folder.path().join("odile.pub.pem"), key(ODILE).public().to_pem()).unwrap();
    let seal = value["signatures"][0].clone();
    let signature = Base64UrlUnpadded::decode_vec(seal["signature"].as_str().unwrap()).unwrap();
    fs::write(folder.path().join("payload.sig"), signature).unwrap();
    let verifies = |value: &Value| {
        let payload = Base64UrlUnpadded::encode_string(&serde_json::to_vec(&value["checklist"]).unwrap());
        let input = format!("{}.{payload}", seal["protected"].as_str().unwrap());
        fs::write(folder.path().join("payload.in"), input).unwrap();
        let arguments = "pkeyutl -verify -pubin -inkey odile.pub.pem -rawin -in payload.in -sigfile payload.sig";
        let mut command = Command::new("openssl");
        let output = command.args(arguments.split(' ')).current_dir(folder.path()).output().unwrap();
        (output.status.success(), String::from_utf8_lossy(&output.stdout).trim().to_owned())
    };
    assert_eq!(verifies(&value), (true, "Signature Verified Successfully".to_owned()));
    value["checklist"]["job"] = "HT-0999".into();
    assert!(!verifies(&value).0);
}

/// The auditor's script: it accepts the file, and refuses one that was changed, printed otherwise, or signed by another.
#[test]
#[ignore = "needs openssl 3, jq and perl"]
fn the_script_with_stock_tools_agrees() {
    let folder = tempfile::tempdir().unwrap();
    let file = Shop::new().signed(&passing());
    let text = String::from_utf8(file).unwrap();
    let run = |content: &str, seed: u8| {
        fs::write(folder.path().join("c.json"), content).unwrap();
        fs::write(folder.path().join("k.pem"), key(seed).public().to_pem()).unwrap();
        let script = common::project("tests/checklist/stock-tools.sh");
        let output =
            Command::new("sh").arg(script).args(["c.json", "k.pem"]).current_dir(folder.path()).output().unwrap();
        let told = [output.stdout, output.stderr].concat();
        (output.status.code(), String::from_utf8_lossy(&told).into_owned())
    };
    let (code, told) = run(&text, ODILE);
    assert_eq!(code, Some(0), "{told}");
    assert!(
        told.contains("SIGNATURE GOOD, number 1 of 1")
            && told.contains("as supervisor")
            && told.contains("It signs: PASS, before fill, job \"HT-0311\", shop \"Hollow Tarn\""),
        "{told}"
    );
    assert_eq!(run(&text.replacen("HT-0311", "HT-0312", 1), ODILE).0, Some(3));
    assert_eq!(run(&text.replacen("  \"checklist\"", "\"checklist\"", 1), ODILE).0, Some(3));
    assert_eq!(run(&text.replacen("    \"job\"", "    \"job\": \"HT-0999\",\n    \"job\"", 1), ODILE).0, Some(3));
    assert_eq!(run(&text, ODILE + 1).0, Some(3));
    // A good signature whose header says that it was made for something else, by another algorithm or key.
    let mut value: serde_json::Value = serde_json::from_str(&text).unwrap();
    let payload = canonical::bytes(&value["checklist"]).unwrap();
    let kid = key(ODILE).public().kid().to_owned();
    let head = |alg: &str, kid: &str, typ: &str, more: &str| {
        let head =
            r#"{"alg":"ALG","kid":"KID","role":"supervisor","signed_at":"2026-03-04T09:31:00-06:00","typ":"TYP"}"#;
        head.replace("ALG", alg).replace("KID", kid).replace("TYP", typ).replace("\"}", &format!("\"{more}}}"))
    };
    let checklist = "fillward-checklist+jws";
    for (head, code, words) in [
        (head("Ed25519", &kid, checklist, ""), Some(0), "SIGNATURE GOOD"),
        (head("Ed25519", &kid, "fillward-permit+jws", ""), Some(3), "typ, the kind of file: NOT IN ORDER"),
        (head("Ed25519", &kid, "fillward-trust+jws", ""), Some(3), "typ, the kind of file: NOT IN ORDER"),
        (head("EdDSA", &kid, checklist, ""), Some(3), "alg, the algorithm: NOT IN ORDER"),
        (head("Ed25519", key(ODILE + 1).public().kid(), checklist, ""), Some(3), "kid, the key: NOT IN ORDER"),
        (head("Ed25519", &kid, checklist, r#","x5u":"a""#), Some(3), "header's members: NOT IN ORDER"),
        (head("Ed25519", &kid, checklist, " "), Some(3), "header's form: NOT IN ORDER"),
    ] {
        let protected = Base64UrlUnpadded::encode_string(head.as_bytes());
        let input = format!("{protected}.{}", Base64UrlUnpadded::encode_string(&payload));
        let signature = Base64UrlUnpadded::encode_string(&key(ODILE).sign(input.as_bytes()));
        value["signatures"] = serde_json::json!([{"protected": protected, "signature": signature}]);
        let (found, told) = run(&(serde_json::to_string_pretty(&value).unwrap() + "\n"), ODILE);
        assert_eq!(found, code, "{head}: {told}");
        assert!(told.contains(words), "{head}: {told}");
    }
}

/// RFC 8032 signatures are determined by key and message, so openssl and fillward make the same one.
#[test]
#[ignore = "needs openssl 3"]
fn openssl_makes_the_same_signature() {
    let folder = tempfile::tempdir().unwrap();
    let pem = key(ODILE).to_encrypted_pem(b"x", &[5; 16], [6; 16]).unwrap();
    fs::write(folder.path().join("key.pem"), pem.as_bytes()).unwrap();
    fs::write(folder.path().join("in"), b"header.body").unwrap();
    let arguments = "pkeyutl -sign -inkey key.pem -passin pass:x -rawin -in in -out sig";
    openssl(folder.path(), &arguments.split(' ').collect::<Vec<_>>());
    let signature: [u8; 64] = fs::read(folder.path().join("sig")).unwrap().try_into().unwrap();
    assert_eq!(signature, key(ODILE).sign(b"header.body"));
    assert!(key(ODILE).public().verifies(b"header.body", &signature));
}

/// The page's commands for the eight words say what the program says.
#[test]
#[ignore = "needs openssl 3, jq and perl"]
fn the_words_of_the_page_are_those_of_the_program() {
    let page = common::read("schemas/CHECKLIST.md");
    let block = page.split("```bash\n").find(|block| block.starts_with("words()")).unwrap();
    let commands = block.split("```").next().unwrap();
    let folder = tempfile::tempdir().unwrap();
    let shop = Shop::new();
    fs::write(folder.path().join("trust.json"), Shop::trust_file(&shop.trust_body())).unwrap();
    let said = |command: &str| {
        let script = format!("{commands}\n{command}");
        let output = Command::new("sh").args(["-c", &script]).current_dir(folder.path()).output().unwrap();
        String::from_utf8(output.stdout).unwrap().trim().to_owned()
    };
    assert_eq!(said("words_of_trust_file trust.json"), shop.trust().digest_in_words());
    for seed in 1..=8 {
        fs::write(folder.path().join("k.pem"), key(seed).public().to_pem()).unwrap();
        assert_eq!(said("words_of_key k.pem"), key(seed).public().fingerprint_words());
    }
}

/// What is printed for debugging names a public key, as everything else does, and a private one by its public key alone.
#[test]
fn a_key_is_named_by_its_thumbprint() {
    let private = key(ODILE);
    let public = private.public();
    assert!(format!("{public:?}").contains(public.kid()), "{public:?}");
    assert!(!format!("{private:?}").contains("1, 1, 1"));
}
