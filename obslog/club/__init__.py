"""What people do, one file per activity. Transactions are opened here and nowhere else."""
