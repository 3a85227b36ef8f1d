package travel
import ("testing";"encoding/json";"fmt";"setdown/model")
func TestTry(t *testing.T){
 for _,n:=range []string{"special-asfound","buggy-mended","liveaxle-mended"}{
 b,err:=model.Load("../../testdata/builds/"+n+".yaml"); if err!=nil{t.Fatal(err)}
 d,err:=Heights(b,nil); if err!=nil{t.Log(n,err);continue}
 for _,w:=range d.Wheels{x,_:=json.Marshal(w);fmt.Println(string(x))}
 x,_:=json.Marshal(d.Lowest);fmt.Println(string(x)); if d.Twist!=nil {fmt.Println(*d.Twist)}
 }}
