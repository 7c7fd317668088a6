"""What people take along: pages as HTML that prints on one side, black on white, with nothing fetched and no script."""
