"""Circuit sheets in and out: XLSX, CSV folder or zip, JSON, to and from plan values. No Django."""
