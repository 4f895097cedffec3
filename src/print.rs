//! Filling templates, having them typeset, and putting finished packs in place.
