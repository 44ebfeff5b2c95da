//! Putting a handful of things in order.

use std::cmp::Ordering;

/// Stable insertion sort. The lists here hold a handful; the standard sort costs 5 kB of the page per element type.
pub fn in_order<T>(list: &mut [T], mut compare: impl FnMut(&T, &T) -> Ordering) {
    for end in 1..list.len() {
        let mut place = end;
        while place > 0 && compare(&list[place - 1], &list[place]) == Ordering::Greater {
            list.swap(place - 1, place);
            place -= 1;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::in_order;

    /// Against the standard library's stable sort.
    #[test]
    fn as_the_standard_sort() {
        let mut list: Vec<(u32, usize)> = (0..60).map(|i| ((i * 7919) % 13, i as usize)).collect();
        let mut expected = list.clone();
        expected.sort_by_key(|x| x.0);
        in_order(&mut list, |a, b| a.0.cmp(&b.0));
        assert_eq!(list, expected);
    }
}
