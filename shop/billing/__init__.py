"""What is agreed, invoiced, paid and still due: changes, invoices, credit notes, payments."""
