"""Every sentence a user sees, and how numbers are written and read."""
