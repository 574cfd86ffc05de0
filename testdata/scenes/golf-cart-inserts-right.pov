// The golf cart's roof pod with the lamp to the right, nearer and lower.
#include "photo.inc"
#declare About = "invented: a golf cart's roof pod in green plastic, two bosses 7 mm high with brass inserts, a collar of 4 mm, lit from the right, tilted 9 degrees";
#declare Args = "\"--hole-height\",\"7\",\"--grille-height\",\"4\"";
#declare Seed = 155;
#declare Photo_width = 2048;
#declare Photo_height = 1536;
#declare Focal_35 = 34.6;
#declare Tint = <1.04, 1, 0.92>;
#declare Antialias = 0.02;
#declare Sharpening = 0.6;
#declare Quality = 82;
#include "panel.inc"
#include "wear.inc"

Camera(<42, 32, 0>, 290, 9, 300, 7)
Lamp(350, 32, 120, <1.0, 0.90, 0.74>*1.05)
Room_light(230, <1.0, 0.95, 0.88>*0.22)

Plastic(<0.10, 0.155, 0.11>, 0.3, 0.02)
Dusty(<0.45, 0.42, 0.36>, 0.3, 130)
Outline(array[6] {<-62, -54>, <142, -56>, <154, 40>, <112, 120>, <-22, 120>, <-62, 72>}, 16, 7)
Grille(<72, 62>, 52, 4 + Paper, 2.4)
Insert_boss(<31.4, 86.5>, 10.6, 3.3, 5.4, 7 + Paper, 9)
Insert_boss(<112.7, 37.8>, 10.6, 3.3, 5.4, 7 + Paper, 9)
Rib(<26, 90>, <2, 106>, 1.4, 5)
Rib(<118, 34>, <142, 24>, 1.4, 5)
Rib(<48, -40>, <118, -40>, 1.6, 6)

Stray_boss(<-38, 66>, 9, 4.2, 6, 8)
Stray_hole(<128, 72>, 6)
Window(<88, -22>, 14, 6, 0)
Post(<58, 6>, 5, 5)
Post(<-6, 92>, 4, 6)
Panel()

Mesh(<72, 62>, 52, 1.2, 2.2, 1.5, 15, <0.06, 0.06, 0.06>)
Cloth(<72, 62>, 52, 3.4, <0.02, 0.02, 0.02>)
Crumbs(<-58, -50>, <140, 110>, 50, 0.15, 0.8, <0.36, 0.33, 0.26>, 4)
Square(24, 60, 60, <0, 0>, 0)
Bench(13, Boards(<0.40, 0.27, 0.16>, 117))
Write_truth()
