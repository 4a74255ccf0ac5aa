"""Power-off approach: from abeam at idle to the touchdown."""
