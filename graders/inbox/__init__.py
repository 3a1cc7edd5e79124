"""What came in: files, folders and archives are searched for notebooks, which are filed by their seal."""
