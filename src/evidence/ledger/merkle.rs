//! The hash tree of a ledger and its proofs, by RFC 9162 section 2.1 (the same tree as RFC 6962 section 2.1).
//!
//! A leaf's hash is SHA-256(00 || entry), a node's SHA-256(01 || left || right); the left side of a tree of n leaves holds
//! the largest power of two below n.

use crate::kit::digest::Digest;

/// The hash of an entry.
#[must_use]
pub fn leaf(entry: &[u8]) -> Digest {
    let mut bytes = Vec::with_capacity(entry.len() + 1);
    bytes.push(0);
    bytes.extend_from_slice(entry);
    Digest::of(&bytes)
}

/// The hash of two subtrees.
#[must_use]
pub fn node(left: &Digest, right: &Digest) -> Digest {
    let mut bytes = [1; 65];
    bytes[1..33].copy_from_slice(&left.0);
    bytes[33..].copy_from_slice(&right.0);
    Digest::of(&bytes)
}

/// The root over the hashes of all leaves, in order; of no leaves, the digest of nothing.
#[must_use]
pub fn root(leaves: &[Digest]) -> Digest {
    match leaves {
        [] => Digest::of(b""),
        [one] => *one,
        _ => {
            let (left, right) = leaves.split_at(split(leaves.len()));
            node(&root(left), &root(right))
        }
    }
}

/// The largest power of two below `n`, for n of 2 and more.
fn split(n: usize) -> usize {
    1 << (n - 1).ilog2()
}

/// The hashes that lead from the leaf at `index` to the root, nearest first (RFC 9162, 2.1.3.1); `None` when there is no
/// such leaf.
#[must_use]
pub fn inclusion(index: usize, leaves: &[Digest]) -> Option<Vec<Digest>> {
    if index >= leaves.len() {
        return None;
    }
    let mut proof = Vec::new();
    climb(index, leaves, &mut proof);
    Some(proof)
}

fn climb(index: usize, leaves: &[Digest], proof: &mut Vec<Digest>) {
    if leaves.len() < 2 {
        return;
    }
    let (left, right) = leaves.split_at(split(leaves.len()));
    if index < left.len() {
        climb(index, left, proof);
        proof.push(root(right));
    } else {
        climb(index - left.len(), right, proof);
        proof.push(root(left));
    }
}

/// Whether `proof` leads from `leaf` at `index` to the `root` of a tree of `size` leaves (RFC 9162, 2.1.3.2).
#[must_use]
pub fn is_included(leaf: &Digest, index: u64, size: u64, proof: &[Digest], root: &Digest) -> bool {
    if index >= size {
        return false;
    }
    let (mut at, mut last, mut hash) = (index, size - 1, *leaf);
    for step in proof {
        if last == 0 {
            return false;
        }
        if at & 1 == 1 || at == last {
            hash = node(step, &hash);
            while at & 1 == 0 && at != 0 {
                (at, last) = (at >> 1, last >> 1);
            }
        } else {
            hash = node(&hash, step);
        }
        (at, last) = (at >> 1, last >> 1);
    }
    last == 0 && hash == *root
}

/// The hashes that show that the first `old` leaves are unchanged in all of them (RFC 9162, 2.1.4.1); `None` when there
/// are not as many, or when `old` is 0, for which nothing needs showing.
#[must_use]
pub fn consistency(old: usize, leaves: &[Digest]) -> Option<Vec<Digest>> {
    if old == 0 || old > leaves.len() {
        return None;
    }
    let mut proof = Vec::new();
    descend(old, leaves, true, &mut proof);
    Some(proof)
}

/// `whole`: the old tree is exactly a subtree whose root the reader knows.
fn descend(old: usize, leaves: &[Digest], whole: bool, proof: &mut Vec<Digest>) {
    if old == leaves.len() {
        if !whole {
            proof.push(root(leaves));
        }
        return;
    }
    let (left, right) = leaves.split_at(split(leaves.len()));
    if old <= left.len() {
        descend(old, left, whole, proof);
        proof.push(root(right));
    } else {
        descend(old - left.len(), right, false, proof);
        proof.push(root(left));
    }
}

/// A tree of a size, known by its root.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Tree {
    /// How many leaves.
    pub size: u64,
    /// Its root.
    pub root: Digest,
}

/// Whether `proof` shows that `old` is the beginning of `new` (RFC 9162, 2.1.4.2).
#[must_use]
pub fn is_consistent(old: &Tree, new: &Tree, proof: &[Digest]) -> bool {
    if old.size == new.size {
        return proof.is_empty() && old.root == new.root;
    }
    if old.size == 0 {
        return proof.is_empty() && old.root == root(&[]) && new.size > 0;
    }
    if old.size > new.size {
        return false;
    }
    // An old tree that is a whole subtree is the first step itself.
    let mut steps = proof.iter();
    let first = if old.size.is_power_of_two() {
        old.root
    } else {
        match steps.next() {
            Some(it) => *it,
            None => return false,
        }
    };
    let (mut at, mut last) = (old.size - 1, new.size - 1);
    while at & 1 == 1 {
        (at, last) = (at >> 1, last >> 1);
    }
    let (mut before, mut after) = (first, first);
    for step in steps {
        if last == 0 {
            return false;
        }
        if at & 1 == 1 || at == last {
            before = node(step, &before);
            after = node(step, &after);
            while at & 1 == 0 && at != 0 {
                (at, last) = (at >> 1, last >> 1);
            }
        } else {
            after = node(&after, step);
        }
        (at, last) = (at >> 1, last >> 1);
    }
    last == 0 && before == old.root && after == new.root
}

#[cfg(test)]
#[path = "merkle_tests.rs"]
mod tests;
