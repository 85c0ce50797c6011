//! Lists that are put together from others while the program is built.
//!
//! Must not know what they list.

/// Several lists as one, of `N` in all.
#[expect(clippy::indexing_slicing, reason = "runs in the compiler, which refuses an index that is out of range")]
pub(crate) const fn one_list<T: Copy, const N: usize>(lists: &[&[T]]) -> [T; N] {
    let mut all = [lists[0][0]; N];
    let (mut list, mut at) = (0, 0);
    while list < lists.len() {
        let mut entry = 0;
        while entry < lists[list].len() {
            all[at] = lists[list][entry];
            at += 1;
            entry += 1;
        }
        list += 1;
    }
    assert!(at == N, "the count of a joined list is wrong");
    all
}
