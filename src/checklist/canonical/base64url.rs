//! Base64url without padding (RFC 4648, section 5), written fast: what is encoded here is public and ten kilobytes long.
//!
//! Decoding is left to a strict library: there a second spelling of the same bytes would be a fault. Must not know what
//! the bytes are.

const ALPHABET: &[u8; 64] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_";

/// Two letters for each twelve bits, so that three bytes take two looks instead of four.
static PAIRS: [[u8; 2]; 4096] = pairs();

#[expect(clippy::indexing_slicing, reason = "worked out by the compiler, which refuses an index out of bounds")]
const fn pairs() -> [[u8; 2]; 4096] {
    let mut pairs = [[0; 2]; 4096];
    let mut bits = 0;
    while bits < 4096 {
        pairs[bits] = [ALPHABET[bits >> 6], ALPHABET[bits & 63]];
        bits += 1;
    }
    pairs
}

/// Appends the encoding of `bytes` to `out`.
pub fn base64url(bytes: &[u8], out: &mut Vec<u8>) {
    let (groups, rest) = bytes.as_chunks::<3>();
    let start = out.len();
    out.resize(start + 4 * groups.len(), 0);
    let (places, _) = out.get_mut(start..).unwrap_or_default().as_chunks_mut::<4>();
    for (place, group) in places.iter_mut().zip(groups) {
        *place = letters(*group);
    }
    match *rest {
        [a] => out.extend(letters([a, 0, 0]).iter().take(2)),
        [a, b] => out.extend(letters([a, b, 0]).iter().take(3)),
        _ => {}
    }
}

fn letters([a, b, c]: [u8; 3]) -> [u8; 4] {
    let (a, b, c) = (usize::from(a), usize::from(b), usize::from(c));
    let pair = |bits: usize| PAIRS.get(bits & 4095).copied().unwrap_or_default();
    let ([first, second], [third, fourth]) = (pair((a << 4) | (b >> 4)), pair((b << 8) | c));
    [first, second, third, fourth]
}

#[cfg(test)]
mod tests {
    use base64ct::{Base64UrlUnpadded, Encoding};
    use proptest::prelude::*;

    use super::*;

    proptest! {
        /// The strict library is the reference.
        #[test]
        fn bytes_are_encoded_as_the_library_does(bytes in prop::collection::vec(any::<u8>(), 0..200)) {
            let mut out = Vec::new();
            base64url(&bytes, &mut out);
            prop_assert_eq!(String::from_utf8(out).unwrap(), Base64UrlUnpadded::encode_string(&bytes));
        }
    }

    /// RFC 7515, appendix C.
    #[test]
    fn rfc_7515_appendix_c() {
        let mut out = Vec::new();
        base64url(&[3, 236, 255, 224, 193], &mut out);
        assert_eq!(out, b"A-z_4ME");
    }
}
